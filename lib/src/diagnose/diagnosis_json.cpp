#include "beadwise/diagnose.hpp"
#include "beadwise/version.hpp"
#include "report/json_assumptions.hpp"
#include "report/json_figures.hpp"
#include "report/json_finding.hpp"

namespace beadwise {

namespace {

constexpr int diagnosis_version = 1;

Json names(const std::vector<Symptom>& symptoms) {
  Json list = Json::array();
  for (const Symptom symptom : symptoms) list.push_back(to_string(symptom));
  return list;
}

Json low_high(const std::optional<Range>& range) { return range ? json_pair(range->low, range->high) : Json(nullptr); }

Json seen(const Seen& seen) {
  return {{"symptoms", names(seen.symptoms)},
          {"layers", low_high(seen.layers)},
          {"height_mm", low_high(seen.height_mm)},
          {"at_mm", seen.at_mm ? json_pair((*seen.at_mm)[0], (*seen.at_mm)[1]) : Json(nullptr)}};
}

template <class List, class Written>
Json list_of(const List& list, Written written) {
  Json out = Json::array();
  for (const auto& one : list) out.push_back(written(one));
  return out;
}

Json evidence(const Evidence& evidence) {
  return {{"score", json_number(evidence.score)},
          {"nearness", to_string(evidence.nearness)},
          {"places_share", json_number(evidence.places_share)},
          {"finding", to_json(evidence.finding)}};
}

Json cause(const Cause& cause) {
  return {{"check", cause.check},
          {"explains", names(cause.explains)},
          {"share", json_number(cause.share)},
          {"findings", cause.findings},
          {"evidence", list_of(cause.evidence, evidence)}};
}

Json advice(const Advice& advice) {
  return {{"check", advice.check},
          {"severity", to_string(advice.severity)},
          {"explains", advice.explains},
          {"sentence", advice.sentence}};
}

Json pull(const Pull& pull) {
  return {{"over", pull.over}, {"up", advice(pull.up)}, {"down", advice(pull.down)}, {"order", pull.order}};
}

Json found_elsewhere(const FoundElsewhere& one) {
  return {{"check", one.check}, {"severity", to_string(one.severity)}, {"what", one.what}, {"findings", one.findings}};
}

Json ruled_out(const RuledOut& one) {
  return {{"check", one.check}, {"symptoms", names(one.symptoms)}, {"because", one.because}};
}

Json not_judged(const NotJudged& one) {
  return {{"check", one.check}, {"symptoms", names(one.symptoms)}, {"because", one.because}};
}

Json look(const Look& look) {
  return {{"what", look.what}, {"test", look.test}, {"source", look.source}, {"symptoms", names(look.symptoms)}};
}

}  // namespace

std::string diagnosis_as_json(const Diagnosis& diagnosis) {
  return written({{"beadwise", version()},
                  {"diagnosis_version", diagnosis_version},
                  {"file", diagnosis.file},
                  {"sha256", diagnosis.sha256.empty() ? Json(nullptr) : Json(diagnosis.sha256)},
                  {"failure", json_text(diagnosis.failure)},
                  {"seen", seen(diagnosis.seen)},
                  {"causes", list_of(diagnosis.causes, cause)},
                  {"pulls", list_of(diagnosis.pulls, pull)},
                  {"faults", list_of(diagnosis.faults, [](const Finding& finding) { return to_json(finding); })},
                  {"ruled_out", list_of(diagnosis.ruled_out, ruled_out)},
                  {"not_judged", list_of(diagnosis.not_judged, not_judged)},
                  {"elsewhere", list_of(diagnosis.elsewhere, found_elsewhere)},
                  {"by_hand", list_of(diagnosis.by_hand, look)},
                  {"cautions", diagnosis.cautions},
                  {"guesses", to_json(diagnosis.guesses)},
                  {"unseen", diagnosis.unseen},
                  {"job", diagnosis.job ? to_json(*diagnosis.job) : Json(nullptr)}});
}

}  // namespace beadwise
