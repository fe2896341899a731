#include "beadwise/version.hpp"
#include "compare/comparison_words.hpp"
#include "report/json_finding.hpp"
#include "report/json_value.hpp"

namespace beadwise {

namespace {

constexpr int comparison_version = 1;

Json number_or_null(const std::optional<double>& value) { return value ? json_number(*value) : Json(nullptr); }

Json file(const ComparedFile& one) {
  return {
      {"file", one.file}, {"sha256", one.sha256.empty() ? Json(nullptr) : Json(one.sha256)}, {"verdict", one.verdict}};
}

Json counts(const Comparison& comparison) {
  Json out = Json::object();
  for (const Change change : {Change::appeared, Change::worse, Change::better, Change::gone, Change::unchanged})
    out[std::string(to_string(change))] = count_of(comparison, change);
  return out;
}

Json finding(const ComparedFinding& one) {
  return {{"change", to_string(one.change)},
          {"check", one.latest().check},
          {"known_by", one.known_by == KnownBy::nothing ? Json(nullptr) : Json(to_string(one.known_by))},
          {"elsewhere", one.elsewhere},
          {"unjudged", json_text(one.unjudged)},
          {"before", one.before ? to_json(*one.before) : Json(nullptr)},
          {"after", one.after ? to_json(*one.after) : Json(nullptr)}};
}

Json figure(const ComparedFigure& one) {
  return {{"figure", one.key},
          {"unit", one.unit},
          {"before", number_or_null(one.before)},
          {"after", number_or_null(one.after)},
          {"difference", number_or_null(one.difference())},
          {"percent", number_or_null(one.percent())}};
}

}  // namespace

std::string comparison_as_json(const Comparison& comparison) {
  Json findings = Json::array();
  for (const ComparedFinding& one : comparison.findings) findings.push_back(finding(one));
  Json figures = Json::array();
  for (const ComparedFigure& one : comparison.figures) figures.push_back(figure(one));
  return written({{"beadwise", version()},
                  {"comparison_version", comparison_version},
                  {"before", file(comparison.before)},
                  {"after", file(comparison.after)},
                  {"counts", counts(comparison)},
                  {"findings", findings},
                  {"figures", figures}});
}

}  // namespace beadwise
