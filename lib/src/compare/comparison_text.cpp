#include <fmt/format.h>

#include "compare/comparison_words.hpp"
#include "report/acceptance_text.hpp"
#include "report/background_text.hpp"
#include "report/finding_text.hpp"
#include "report/paint.hpp"
#include "report/spoken.hpp"
#include "report/table.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

bool is_bad(Change change) { return change == Change::appeared || change == Change::worse; }

std::string head(const Comparison& comparison, const TextStyle& style) {
  const auto file = [&](std::string_view label, const ComparedFile& one) {
    return hanging(label, fmt::format("{} ({})", shown(one.file), one.verdict), style.width);
  };
  const bool bad = count_of(comparison, Change::appeared) + count_of(comparison, Change::worse) > 0;
  return file("Before  ", comparison.before) + file("After   ", comparison.after) +
         paragraph(comparison_sentence(comparison), bad ? Tone::warning : Tone::good, style);
}

/// "Worse: NOTE → WARNING low-travel: scarring"
std::string headline(const ComparedFinding& finding, const TextStyle& style) {
  const Finding& latest = finding.latest();
  std::string change = change_in_words(finding);
  change.front() = static_cast<char>(change.front() - 'a' + 'A');
  std::string severity = in_capitals(to_string(latest.severity));
  if (finding.before && finding.before->severity != latest.severity)
    severity = in_capitals(to_string(finding.before->severity)) + " → " + severity;
  std::string out = fmt::format("{}: {} {}", change, severity, shown(latest.check));
  std::vector<std::string> symptoms;
  for (const Symptom symptom : latest.symptoms) symptoms.emplace_back(to_string(symptom));
  if (!symptoms.empty()) out += fmt::format(": {}", fmt::join(symptoms, ", "));
  const bool counts = is_bad(finding.change) && !latest.accepted;
  return paragraph(out, counts ? tone_of(latest.severity) : Tone::strong, style);
}

std::string in_full(const ComparedFinding& finding, const TextStyle& style) {
  const Finding& latest = finding.latest();
  std::string out = '\n' + headline(finding, style) + labelled("What", latest.what, style) +
                    labelled("Change", measures_in_words(finding), style);
  if (latest.accepted) out += labelled("Known", accepted_in_words(*latest.accepted), style);
  if (is_bad(finding.change) && !latest.accepted) out += labelled("Do", latest.remedy, style);
  if (const std::vector<std::string> where = where_in_words(latest, {}); is_bad(finding.change) && !where.empty())
    out += labelled("Where", where.front(), style);
  return out + labelled("Note", remark_on(finding), style);
}

std::string in_lines(const std::vector<std::vector<std::string>>& rows, const TextStyle& style) {
  std::string out;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    const std::vector<std::string>& row = rows[i];
    std::string text = fmt::format("{}: {} → {}", row[0], row[1].empty() ? "–" : row[1], row[2].empty() ? "–" : row[2]);
    if (!row[3].empty() && row[3] != "0")
      text += fmt::format(" ({}{})", row[3], row[4].empty() ? "" : ", " + row[4] + " %");
    out += hanging("  ", text, style.width);
  }
  return out;
}

std::string figures(const Comparison& comparison, const TextStyle& style) {
  if (comparison.figures.empty()) return {};
  const Table table{.rows = figure_table(comparison)};
  return '\n' + paragraph("Figures", Tone::strong, style) +
         (table.columns() <= style.width ? table.as_lines() : in_lines(table.rows, style));
}

}  // namespace

std::string comparison_as_text(const Comparison& comparison, const TextStyle& style) {
  std::string out = head(comparison, style);
  for (const ComparedFinding& finding : comparison.findings)
    if (is_bad(finding.change) || (!style.quiet && finding.change != Change::unchanged)) out += in_full(finding, style);
  if (style.quiet) return out;
  if (const std::vector<std::string> names = unchanged_checks(comparison); !names.empty())
    out += '\n' + paragraph("Unchanged: " + listed(names) + '.', Tone::plain, style);
  return out + figures(comparison, style);
}

}  // namespace beadwise
