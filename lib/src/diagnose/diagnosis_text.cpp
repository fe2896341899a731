#include <fmt/format.h>

#include <algorithm>

#include "beadwise/diagnose.hpp"
#include "diagnose/diagnosis_words.hpp"
#include "report/finding_text.hpp"
#include "report/paint.hpp"
#include "report/verdict_text.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr std::size_t most_unseen = 5;

std::string title(std::string_view text, const TextStyle& style) {
  return '\n' + paragraph(std::string(text), Tone::strong, style);
}

std::string bullet(std::string_view text, const TextStyle& style) { return hanging("  - ", shown(text), style.width); }

std::string head(const Diagnosis& diagnosis, const TextStyle& style) {
  std::string out = paragraph(diagnosis.file, Tone::strong, style);
  out += paragraph("Seen: " + seen_in_words(diagnosis.seen) + '.', Tone::plain, style);
  out += paragraph(
      answer_in_short(diagnosis),
      diagnosis.causes.empty() ? Tone::note : tone_of(diagnosis.causes.front().evidence.front().finding.severity),
      style);
  if (diagnosis.job) out += paragraph(job_sentence(*diagnosis.job), Tone::plain, style);
  return out;
}

std::string causes(const Diagnosis& diagnosis, const TextStyle& style) {
  if (diagnosis.causes.empty()) return {};
  std::string out = title("Causes in this file, the strongest first", style);
  std::size_t number = 0;
  for (const Cause& cause : diagnosis.causes) {
    if (number > 0) out += '\n';
    out += finding_in_full(++number, cause.evidence.front().finding, diagnosis.objects, style);
    out += labelled("Weight", weight_in_words(diagnosis, cause), style);
    bool first = true;
    for (const std::string& line : further_findings(cause)) {
      out += labelled(first ? "Also" : "", line, style);
      first = false;
    }
  }
  return out;
}

std::string pulls(const Diagnosis& diagnosis, const TextStyle& style) {
  if (diagnosis.pulls.empty()) return {};
  std::string out = title("Where remedies pull apart: what to try, in this order", style);
  for (const Pull& pull : diagnosis.pulls) {
    out += hanging("  ", shown(in_words(pull)), style.width);
    std::size_t number = 0;
    for (const std::string& step : pull.order)
      out += hanging(fmt::format("    {}. ", ++number), shown(step), style.width);
  }
  return out;
}

std::string elsewhere(const Diagnosis& diagnosis, const TextStyle& style) {
  if (diagnosis.elsewhere.empty()) return {};
  std::string out = title("Found elsewhere in this file, not where it was seen", style);
  for (const FoundElsewhere& one : diagnosis.elsewhere) out += bullet(in_words(one), style);
  return out;
}

std::string faults(const Diagnosis& diagnosis, const TextStyle& style) {
  if (diagnosis.faults.empty()) return {};
  std::string out = title("Faults of the file as a whole, which may show as anything", style);
  for (const Finding& finding : diagnosis.faults)
    out += bullet(
        fmt::format("{} ({}): {} {}", finding.check, to_string(finding.severity), finding.what, finding.remedy), style);
  return out;
}

std::string ruled_out(const Diagnosis& diagnosis, const TextStyle& style) {
  std::string out;
  for (const RuledOut& one : diagnosis.ruled_out)
    out += bullet(fmt::format("{}: not the cause ({}).", one.because, one.check), style);
  if (!out.empty()) out = title("Ruled out by this file", style) + out;
  if (diagnosis.not_judged.empty()) return out;
  out += title("Not judged", style);
  for (const std::string& line : not_judged_in_words(diagnosis)) out += bullet(line, style);
  return out;
}

std::string by_hand(const Diagnosis& diagnosis, const TextStyle& style) {
  std::string out = title("What no file shows: to be looked at by hand", style);
  std::size_t number = 0;
  for (const Look& look : diagnosis.by_hand) {
    const std::string what =
        diagnosis.seen.symptoms.size() > 1 ? fmt::format("{} ({})", look.what, names_of(look.symptoms)) : look.what;
    out += hanging(fmt::format("  {}. ", ++number), fmt::format("{}. {}", what, look.test), style.width);
  }
  out += title("Mind", style);
  for (const std::string& caution : diagnosis.cautions) out += bullet(caution, style);
  return out;
}

std::string rests_on_guesses(const Diagnosis& diagnosis, const TextStyle& style) {
  const std::vector<AssumedForReason> groups = guesses_by_reason(diagnosis);
  std::string out;
  for (const AssumedForReason& group : groups) {
    const std::string because = group.because.empty() ? std::string() : ": " + group.because;
    out += bullet(fmt::format("{} ({}){}", fmt::join(group.values, "; "), group.origin, because), style);
  }
  if (!out.empty()) out = title("The answer rests on guesses; say otherwise with --set KEY=VALUE", style) + out;
  if (diagnosis.unseen.empty()) return out;
  out += title("Not seen", style);
  for (std::size_t i = 0; i < std::min(diagnosis.unseen.size(), most_unseen); ++i)
    out += bullet(diagnosis.unseen[i], style);
  return out;
}

}  // namespace

std::string diagnosis_as_text(const Diagnosis& diagnosis, const TextStyle& style) {
  if (diagnosis.failure && !diagnosis.job) return head(diagnosis, style);
  return head(diagnosis, style) + causes(diagnosis, style) + pulls(diagnosis, style) + faults(diagnosis, style) +
         ruled_out(diagnosis, style) + elsewhere(diagnosis, style) + by_hand(diagnosis, style) +
         rests_on_guesses(diagnosis, style);
}

}  // namespace beadwise
