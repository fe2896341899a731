#include "diagnose/diagnosis_words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/spoken.hpp"

namespace beadwise {

namespace {

std::string from_to(const Range& range, int decimals) {
  const std::string low = spoken(range.low, decimals);
  const std::string high = spoken(range.high, decimals);
  return low == high ? low : low + " to " + high;
}

std::string where_seen(const Seen& seen) {
  std::string out;
  if (seen.layers)
    out += fmt::format(", in layer{} {}", seen.layers->low < seen.layers->high ? "s" : "", from_to(*seen.layers, 0));
  if (seen.height_mm) out += fmt::format(", {} mm above the plate", from_to(*seen.height_mm, 2));
  if (seen.at_mm) out += fmt::format(", near X {} Y {}", spoken((*seen.at_mm)[0], 1), spoken((*seen.at_mm)[1], 1));
  return out;
}

/// Whole percents, and never "0 %" or, beside others, "100 %".
std::string percent_of(const Diagnosis& diagnosis, double share) {
  if (diagnosis.causes.size() == 1) return "all of the evidence";
  return fmt::format("{} % of the evidence", std::clamp(static_cast<int>(100 * share + 0.5), 1, 99));
}

std::string nearness_in_words(const Evidence& evidence) {
  switch (evidence.nearness) {
    case Nearness::there:
      return evidence.places_share >= 1 ? "it lies where that was seen"
                                        : fmt::format("of the places kept, {} % lie where that was seen",
                                                      std::max(1, static_cast<int>(100 * evidence.places_share + 0.5)));
    case Nearness::before:
      return "it lies before or below where that was seen, and shows later";
    case Nearness::perhaps:
      return "its places span where that was seen, but the worst of them lie elsewhere";
    case Nearness::whole_job:
      return "it has no place: it holds for the whole job";
    case Nearness::elsewhere:
      break;
  }
  return {};
}

std::uint64_t judged(const Diagnosis& diagnosis) {
  std::vector<std::string> checks;
  for (const RuledOut& one : diagnosis.ruled_out)
    if (checks.empty() || checks.back() != one.check) checks.push_back(one.check);
  return checks.size();
}

std::string nothing_found(const Diagnosis& diagnosis) {
  const std::string seen = names_of(diagnosis.seen.symptoms);
  const std::string where = diagnosis.seen.somewhere() ? " there" : "";
  if (judged(diagnosis) == 0 && diagnosis.elsewhere.empty())
    return fmt::format("Nothing in this file could be judged for {}: see below why, and look at the machine by hand.",
                       seen);
  std::string out = fmt::format("Nothing in this file explains {}{}: ", seen, where);
  if (judged(diagnosis) > 0) out += counted(judged(diagnosis), "check") + " looked and found nothing";
  if (judged(diagnosis) > 0 && !diagnosis.elsewhere.empty()) out += ", and ";
  if (!diagnosis.elsewhere.empty()) out += "what was found lies elsewhere";
  return out + ". Look at machine and filament by hand.";
}

}  // namespace

std::string names_of(const std::vector<Symptom>& symptoms) {
  std::vector<std::string> names;
  for (const Symptom symptom : symptoms) names.emplace_back(to_string(symptom));
  return listed(names);
}

std::string seen_in_words(const Seen& seen) {
  std::vector<std::string> names;
  for (const Symptom symptom : seen.symptoms)
    names.push_back(fmt::format("{} ({})", to_string(symptom), seen_as(symptom)));
  return listed(names) + where_seen(seen);
}

std::string answer_in_short(const Diagnosis& diagnosis) {
  if (diagnosis.failure) return "This file could not be read to its end: " + *diagnosis.failure;
  if (diagnosis.causes.empty()) return nothing_found(diagnosis);
  const Cause& first = diagnosis.causes.front();
  const Severity severity = first.evidence.front().finding.severity;
  const std::string_view may = severity == Severity::note ? "may explain it, though no more than worth knowing: " : "";
  if (diagnosis.causes.size() == 1) {
    return fmt::format("One thing in this file {}{} ({}).", may.empty() ? "explains it: " : may, first.check,
                       to_string(severity));
  }
  return fmt::format("{} things in this file {}first of all {} ({}, {}).", diagnosis.causes.size(),
                     may.empty() ? "explain it, " : may, first.check, to_string(severity),
                     percent_of(diagnosis, first.share));
}

std::string weight_in_words(const Diagnosis& diagnosis, const Cause& cause) {
  std::string out = percent_of(diagnosis, cause.share);
  if (diagnosis.seen.symptoms.size() > 1) out += ", for " + names_of(cause.explains);
  if (diagnosis.seen.somewhere()) out += "; " + nearness_in_words(cause.evidence.front());
  for (std::size_t i = 0; i < diagnosis.pulls.size(); ++i) {
    const Pull& pull = diagnosis.pulls[i];
    if (pull.up.check != cause.check && pull.down.check != cause.check) continue;
    const std::string& other = pull.up.check == cause.check ? pull.down.check : pull.up.check;
    out += fmt::format("; its remedy pulls against {}: see below what to try first", other);
    break;
  }
  out += '.';
  if (cause.evidence.front().finding.accepted) out += " Somebody accepted it; it is a cause all the same.";
  return out;
}

std::vector<std::string> further_findings(const Cause& cause) {
  std::vector<std::string> lines;
  for (std::size_t i = 1; i < cause.evidence.size(); ++i) {
    const Finding& finding = cause.evidence[i].finding;
    lines.push_back(fmt::format("{}: {}", to_string(finding.severity), finding.what));
  }
  if (cause.findings > cause.evidence.size()) {
    lines.push_back(
        fmt::format("and {} by this check.", counted(cause.findings - cause.evidence.size(), "weaker finding")));
  }
  return lines;
}

std::string in_words(const FoundElsewhere& elsewhere) {
  const std::string more =
      elsewhere.findings > 1 ? fmt::format(" And {} more.", counted(elsewhere.findings - 1, "finding")) : "";
  return fmt::format("{} ({}): {}{}", elsewhere.check, to_string(elsewhere.severity), elsewhere.what, more);
}

std::vector<std::string> not_judged_in_words(const Diagnosis& diagnosis) {
  FileReport report;
  for (const NotJudged& one : diagnosis.not_judged) report.checks.push_back({one.check, false, one.because, 0});
  std::vector<std::string> lines;
  for (const SkippedForReason& skipped : skipped_by_reason(report))
    lines.push_back(fmt::format("{}: {}.", listed(skipped.checks), skipped.because));
  return lines;
}

std::string in_words(const Pull& pull) {
  const auto said = [](const Advice& advice) {
    return fmt::format("{}{} says \"{}\"", advice.check, advice.explains ? "" : " (found in this file besides)",
                       advice.sentence);
  };
  return fmt::format("Over {}: {}; against it {}", pull.over, said(pull.up), said(pull.down));
}

std::vector<AssumedForReason> guesses_by_reason(const Diagnosis& diagnosis) {
  FileReport report;
  report.assumptions = diagnosis.guesses;
  return assumed_by_reason(report);
}

}  // namespace beadwise
