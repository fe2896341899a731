#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <vector>

#include "beadwise/report.hpp"
#include "beadwise/version.hpp"
#include "report/acceptance_text.hpp"
#include "report/background_text.hpp"
#include "report/cautions.hpp"
#include "report/finding_text.hpp"
#include "report/markdown_text.hpp"
#include "report/spoken.hpp"
#include "report/verdict_text.hpp"

namespace beadwise {

namespace {

// A ticket takes no book: of more than these the worst are told.
constexpr std::size_t most_in_full = 30;
constexpr std::size_t most_in_a_line = 30;
constexpr std::size_t most_unseen = 5;

using Told = std::vector<const Finding*>;

bool in_full(const Finding& finding) { return !finding.accepted && finding.severity >= Severity::warning; }
bool in_a_line(const Finding& finding) { return !finding.accepted && finding.severity < Severity::warning; }
bool is_accepted(const Finding& finding) { return finding.accepted.has_value(); }

Told those(const FileReport& report, bool (*wanted)(const Finding&)) {
  Told told;
  for (const Finding& finding : report.findings)
    if (wanted(finding)) told.push_back(&finding);
  return told;
}

std::string capital(std::string_view word) {
  std::string out(word);
  if (!out.empty() && out.front() >= 'a' && out.front() <= 'z')
    out.front() = static_cast<char>(out.front() - 'a' + 'A');
  return out;
}

std::string labelled(std::string_view label, const std::string& text) {
  return text.empty() ? std::string() : markdown_item(fmt::format("**{}:** {}", label, markdown_prose(text)));
}

std::string name_of(const Finding& finding) {
  return fmt::format("{}: {}", capital(to_string(finding.severity)), markdown_prose(finding.check));
}

std::string seen_as(const Finding& finding) {
  std::vector<std::string> names;
  for (const Symptom symptom : finding.symptoms) names.emplace_back(to_string(symptom));
  return names.empty() ? std::string() : " (" + listed(names) + ')';
}

std::string one_in_full(std::size_t number, const Finding& finding, const std::vector<ObjectFigures>& on_plate) {
  return fmt::format("\n**{}. {}**{}\n\n", number, name_of(finding), seen_as(finding)) +
         labelled("What", finding.what) + labelled("Why", finding.why) + labelled("Do", finding.remedy) +
         labelled("Where", fmt::format("{}", fmt::join(where_in_words(finding, on_plate), "; "))) +
         labelled("Limit", limit_in_words(finding));
}

std::string left_out(std::size_t count, std::size_t most) {
  return count <= most ? std::string()
                       : fmt::format("\nAnd {} more: `beadwise check` tells all of them.\n", count - most);
}

std::string all_in_full(const FileReport& report) {
  const Told told = those(report, in_full);
  const std::vector<ObjectFigures> on_plate = named_objects(report.objects);
  std::string out;
  for (std::size_t i = 0; i < std::min(told.size(), most_in_full); ++i) out += one_in_full(i + 1, *told[i], on_plate);
  return out + left_out(told.size(), most_in_full);
}

/// A list of findings of a line each under a title; nothing where there are none.
std::string in_lines(std::string_view title, const Told& told, std::string (*line)(const Finding&)) {
  if (told.empty()) return {};
  std::string out = fmt::format("\n**{}**\n\n", title);
  for (std::size_t i = 0; i < std::min(told.size(), most_in_a_line); ++i) out += markdown_item(line(*told[i]));
  return out + left_out(told.size(), most_in_a_line);
}

std::string note_line(const Finding& finding) {
  return fmt::format("{}: {}", markdown_prose(finding.check), markdown_prose(finding.what));
}

std::string accepted_line(const Finding& finding) {
  const Acceptance& acceptance = *finding.accepted;
  std::string out = name_of(finding) + ": " + markdown_prose(finding.what) + " Accepted";
  if (!acceptance.because.empty()) out += ": " + markdown_prose(acceptance.because);
  return acceptance.from.empty() ? out : out + " (" + markdown_code(acceptance.from) + ')';
}

/// What to mind before a remedy is followed, each caution once.
std::string cautions(const FileReport& report) {
  std::vector<std::string_view> told;
  for (const Finding* finding : those(report, in_full))
    for (const std::string_view caution : cautions_for(*finding))
      if (std::find(told.begin(), told.end(), caution) == told.end()) told.push_back(caution);
  if (told.empty()) return {};
  std::string out = "\n**Mind**\n\n";
  for (const std::string_view caution : told) out += markdown_item(markdown_prose(caution));
  return out;
}

std::string assumed(const FileReport& report) {
  const std::vector<AssumedForReason> groups = assumed_by_reason(report);
  if (groups.empty()) return {};
  return "\n**Assumed** (say otherwise with `--set KEY=VALUE` or in a `beadwise.toml`)\n\n" + markdown_assumed(groups);
}

std::string not_seen(const FileReport& report) {
  std::string out;
  const std::size_t told = std::min(report.unseen.size(), most_unseen);
  for (std::size_t i = 0; i < told; ++i) out += markdown_item(markdown_prose(report.unseen[i]));
  for (const SkippedForReason& skipped : skipped_by_reason(report)) {
    const std::string because = skipped.because.empty() ? std::string() : ": " + markdown_prose(skipped.because);
    out += markdown_item("Skipped " + markdown_prose(listed(skipped.checks)) + because);
  }
  if (out.empty()) return {};
  return "\n**Not seen, not checked**\n\n" + out + left_out(report.unseen.size(), most_unseen);
}

std::string accepted_in_vain(const FileReport& report) {
  std::string out;
  for (const std::string& sentence : unused_in_words(report)) out += markdown_item(markdown_prose(sentence));
  return out.empty() ? out : "\n**Accepted in vain**\n\n" + out;
}

std::string findings(const FileReport& report) {
  return all_in_full(report) + cautions(report) + in_lines("Worth knowing", those(report, in_a_line), note_line) +
         in_lines("Known and accepted", those(report, is_accepted), accepted_line) + accepted_in_vain(report);
}

std::string verdict(const FileReport& report) { return "**" + markdown_prose(verdict_sentence(report)) + "**\n"; }

std::string job(const FileReport& report) {
  std::string out = '\n' + markdown_code(report.file);
  if (report.job) out += ": " + markdown_prose(job_sentence(*report.job));
  return out + '\n';
}

std::string origin(const FileReport& report) {
  std::string out = fmt::format("\nChecked by beadwise {}", version());
  if (!report.sha256.empty()) out += "; SHA-256 of the file: " + markdown_code(report.sha256);
  return out + ".\n";
}

std::string one_file(const FileReport& report) {
  return verdict(report) + job(report) + findings(report) + assumed(report) + not_seen(report) + origin(report);
}

std::string row(const FileReport& report) {
  const auto count = [&](Severity severity) {
    return std::count_if(report.findings.begin(), report.findings.end(),
                         [&](const Finding& finding) { return finding.severity == severity && !finding.accepted; });
  };
  const std::string time = report.job ? spoken_duration(report.job->duration_s) : std::string();
  const std::string filament = report.job ? spoken_length(report.job->filament_fed_mm) : std::string();
  return fmt::format("| {} | {} | {} | {} | {} | {} | {} |\n", markdown_code(report.file), report.verdict(),
                     count(Severity::error), count(Severity::warning), count(Severity::note), time, filament);
}

std::string table(std::span<const FileReport> reports) {
  std::string out =
      "| file | verdict | errors | warnings | notes | time | filament |\n| --- | --- | ---: | ---: | ---: | ---: | "
      "---: |\n";
  for (const FileReport& report : reports) out += row(report);
  return out;
}

/// One of several: what was assumed is left to the note on the file alone.
std::string one_of_several(const FileReport& report) {
  if (report.findings.empty() && report.unused_acceptances.empty() && !report.failure) return {};
  return "\n---\n\n" + verdict(report) + job(report) + findings(report);
}

std::string all_verdicts(std::span<const FileReport> reports) {
  std::vector<std::string> parts;
  for (const std::string_view verdict : {"unreadable", "error", "warning", "note", "clean"}) {
    const auto count = std::count_if(reports.begin(), reports.end(),
                                     [&](const FileReport& report) { return report.verdict() == verdict; });
    if (count > 0) parts.push_back(fmt::format("{} {}", count, verdict));
  }
  return fmt::format("**{}, by the worst found in each: {}.**\n\n", counted(reports.size(), "file"), listed(parts));
}

}  // namespace

std::string check_as_markdown(std::span<const FileReport> reports) {
  if (reports.size() == 1) return one_file(reports.front());
  std::string out = all_verdicts(reports) + table(reports);
  for (const FileReport& report : reports) out += one_of_several(report);
  return out + fmt::format("\nChecked by beadwise {}. What was assumed about a file: `beadwise check FILE` alone.\n",
                           version());
}

}  // namespace beadwise
