#include <fmt/format.h>

#include <algorithm>

#include "beadwise/diagnose.hpp"
#include "beadwise/version.hpp"
#include "diagnose/diagnosis_words.hpp"
#include "report/finding_text.hpp"
#include "report/markdown_text.hpp"

namespace beadwise {

namespace {

constexpr std::size_t most_unseen = 5;

std::string title(std::string_view text) { return fmt::format("\n**{}**\n\n", text); }

std::string labelled(std::string_view label, const std::string& text) {
  return text.empty() ? std::string() : markdown_item(fmt::format("**{}:** {}", label, markdown_prose(text)));
}

std::string one_cause(std::size_t number, const Diagnosis& diagnosis, const Cause& cause) {
  const Finding& finding = cause.evidence.front().finding;
  std::string out =
      fmt::format("\n**{}. {}** ({})\n\n", number, markdown_prose(cause.check), to_string(finding.severity));
  out += labelled("What", finding.what) + labelled("Why", finding.why) + labelled("Do", finding.remedy);
  out += labelled("Where", fmt::format("{}", fmt::join(where_in_words(finding, diagnosis.objects), "; ")));
  out += labelled("Limit", limit_in_words(finding)) + labelled("Weight", weight_in_words(diagnosis, cause));
  for (const std::string& line : further_findings(cause)) out += labelled("Also", line);
  return out;
}

std::string causes(const Diagnosis& diagnosis) {
  if (diagnosis.causes.empty()) return {};
  std::string out = "\n**What in the file explains it, the strongest first**\n";
  std::size_t number = 0;
  for (const Cause& cause : diagnosis.causes) out += one_cause(++number, diagnosis, cause);
  return out;
}

std::string pulls(const Diagnosis& diagnosis) {
  if (diagnosis.pulls.empty()) return {};
  std::string out = title("Where remedies pull apart: what to try, in this order");
  for (const Pull& pull : diagnosis.pulls) {
    out += markdown_item(markdown_prose(in_words(pull)));
    std::size_t number = 0;
    for (const std::string& step : pull.order) out += fmt::format("  {}. {}\n", ++number, markdown_prose(step));
  }
  return out;
}

template <class List, class InWords>
std::string listed_under(std::string_view heading, const List& list, InWords in_words_of) {
  std::string out;
  for (const auto& one : list) out += markdown_item(markdown_prose(in_words_of(one)));
  return out.empty() ? out : title(heading) + out;
}

std::string by_hand(const Diagnosis& diagnosis) {
  std::string out = title("What no file shows: to be looked at by hand");
  std::size_t number = 0;
  for (const Look& look : diagnosis.by_hand)
    out += fmt::format("{}. **{}.** {}\n", ++number, markdown_prose(look.what), markdown_prose(look.test));
  return out;
}

std::string guesses(const Diagnosis& diagnosis) {
  const std::vector<AssumedForReason> groups = guesses_by_reason(diagnosis);
  if (groups.empty()) return {};
  return title("This rests on guesses; tell us where they are wrong") + markdown_assumed(groups);
}

}  // namespace

std::string diagnosis_as_markdown(const Diagnosis& diagnosis) {
  std::string out = "**" + markdown_prose(answer_in_short(diagnosis)) + "**\n\n";
  out += fmt::format("{}: {}.\n", markdown_code(diagnosis.file), markdown_prose(seen_in_words(diagnosis.seen)));
  if (diagnosis.failure && !diagnosis.job) return out;
  out += causes(diagnosis) + pulls(diagnosis);
  out +=
      listed_under("Faults of the file as a whole, which may show as anything", diagnosis.faults,
                   [](const Finding& finding) { return finding.check + ": " + finding.what + ' ' + finding.remedy; });
  out += listed_under("What the file rules out", diagnosis.ruled_out, [](const RuledOut& one) {
    return fmt::format("{}: not the cause ({}).", one.because, one.check);
  });
  out += listed_under("Not judged", not_judged_in_words(diagnosis), [](const std::string& line) { return line; });
  out += listed_under("Found elsewhere, not where it was seen", diagnosis.elsewhere,
                      [](const FoundElsewhere& one) { return in_words(one); });
  out += by_hand(diagnosis);
  out += listed_under("Mind", diagnosis.cautions, [](const std::string& caution) { return caution; });
  out += guesses(diagnosis);
  std::vector<std::string> unseen = diagnosis.unseen;
  unseen.resize(std::min(unseen.size(), most_unseen));
  out += listed_under("Not seen", unseen, [](const std::string& sentence) { return sentence; });
  out += fmt::format("\nLooked at by beadwise {}", version());
  if (!diagnosis.sha256.empty()) out += "; SHA-256 of the file: " + markdown_code(diagnosis.sha256);
  return out + ".\n";
}

}  // namespace beadwise
