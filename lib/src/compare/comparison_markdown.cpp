#include <fmt/format.h>

#include "beadwise/version.hpp"
#include "compare/comparison_words.hpp"
#include "report/acceptance_text.hpp"
#include "report/markdown_text.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

// A ticket takes no book: of more than these the worst are told.
constexpr std::size_t most_findings = 30;

std::string sentence(const std::string& text) { return text.empty() ? text : ' ' + markdown_prose(text) + '.'; }

std::string item(const ComparedFinding& finding) {
  const Finding& latest = finding.latest();
  std::string out = fmt::format("- **{}**, {}", change_in_words(finding), to_string(latest.severity));
  if (finding.before && finding.before->severity != latest.severity)
    out += fmt::format(" (was {})", to_string(finding.before->severity));
  out += fmt::format(", {}: {}", markdown_code(latest.check), markdown_prose(latest.what));
  out += sentence(measures_in_words(finding));
  const bool is_bad = finding.change == Change::appeared || finding.change == Change::worse;
  if (is_bad && !latest.accepted) out += ' ' + markdown_prose(latest.remedy);
  if (latest.accepted) out += sentence("Accepted: " + accepted_in_words(*latest.accepted));
  return out + sentence(remark_on(finding)) + '\n';
}

std::string findings(const Comparison& comparison) {
  std::string out;
  std::size_t number = 0;
  for (const ComparedFinding& finding : comparison.findings)
    if (finding.change != Change::unchanged && ++number <= most_findings) out += item(finding);
  if (number > most_findings) out += fmt::format("- and {} more\n", number - most_findings);
  if (const std::vector<std::string> names = unchanged_checks(comparison); !names.empty())
    out += "- unchanged: " + markdown_prose(listed(names)) + '\n';
  return out.empty() ? out : '\n' + out;
}

std::string figures(const Comparison& comparison) {
  if (comparison.figures.empty()) return {};
  const std::vector<std::vector<std::string>> rows = figure_table(comparison);
  std::string out = fmt::format("\n| {} |\n| --- | ---: | ---: | ---: | ---: |\n", fmt::join(rows.front(), " | "));
  for (std::size_t i = 1; i < rows.size(); ++i) out += fmt::format("| {} |\n", fmt::join(rows[i], " | "));
  return out;
}

}  // namespace

std::string comparison_as_markdown(const Comparison& comparison) {
  const auto file = [](std::string_view label, const ComparedFile& one) {
    return fmt::format("{}: {} ({})", label, markdown_code(one.file), one.verdict);
  };
  return fmt::format("**{}**\n\n{}  \n{}\n", markdown_prose(comparison_sentence(comparison)),
                     file("Before", comparison.before), file("After", comparison.after)) +
         findings(comparison) + figures(comparison) + fmt::format("\nCompared by beadwise {}.\n", version());
}

}  // namespace beadwise
