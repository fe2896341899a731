#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/finding_text.hpp"
#include "report/paint.hpp"
#include "report/spoken.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr std::size_t screen_lines = 23;  // of a terminal of 24 lines; the last one is the prompt's
constexpr std::size_t names_listed = 6;

std::uint64_t count_of(const FileReport& report, Severity severity) {
  return static_cast<std::uint64_t>(
      std::count_if(report.findings.begin(), report.findings.end(),
                    [&](const Finding& finding) { return finding.severity == severity; }));
}

std::string counts_in_words(const FileReport& report) {
  std::vector<std::string> parts;
  for (const Severity severity : {Severity::error, Severity::warning, Severity::note}) {
    const std::uint64_t count = count_of(report, severity);
    if (count > 0) parts.push_back(counted(count, to_string(severity)));
  }
  return listed(parts);
}

std::uint64_t checks_run(const FileReport& report) {
  return static_cast<std::uint64_t>(
      std::count_if(report.checks.begin(), report.checks.end(), [](const CheckState& state) { return state.ran; }));
}

std::string verdict_sentence(const FileReport& report) {
  if (report.failure) return "This file could not be read to its end: " + *report.failure;
  const std::string_view verdict = report.verdict();
  if (verdict == "error") return "Do not print this as it is: " + counts_in_words(report) + ".";
  if (verdict == "warning") return "Change it before printing if you can: " + counts_in_words(report) + ".";
  if (verdict == "note") return "Nothing stands against printing it; " + counts_in_words(report) + " worth knowing.";
  return fmt::format("Nothing found by the {} that ran.", counted(checks_run(report), "check"));
}

Tone verdict_tone(const FileReport& report) {
  const std::string_view verdict = report.verdict();
  if (verdict == "error" || verdict == "unreadable") return Tone::error;
  if (verdict == "warning") return Tone::warning;
  return verdict == "note" ? Tone::note : Tone::good;
}

std::string paragraph(const std::string& text, Tone tone, const TextStyle& style) {
  std::string out;
  for (const std::string& line : wrapped(shown(text), style.width)) out += painted(line, tone, style.color) + '\n';
  return out;
}

std::string figures_sentence(const JobFigures& job) {
  if (job.extruding_moves == 0) {
    return fmt::format("{}, {}; none of them lays a bead.", counted(job.lines, "line"), counted(job.moves, "move"));
  }
  const std::string mass =
      job.filament_mass_g ? fmt::format(" ({} g)", spoken(*job.filament_mass_g, 1)) : std::string();
  std::string box;
  if (job.bounds_x_mm && job.bounds_y_mm && job.bounds_z_mm) {
    const auto extent = [](const Interval& interval) { return spoken(interval.high - interval.low, 1); };
    box = fmt::format(", {} × {} mm wide and up to Z {}", extent(*job.bounds_x_mm), extent(*job.bounds_y_mm),
                      spoken(job.bounds_z_mm->high, 2));
  }
  return fmt::format("{} in about {}, {} of filament{}{}.", counted(job.layers, "layer"),
                     spoken_duration(job.duration_s), spoken_length(job.filament_fed_mm), mass, box);
}

std::string head(const FileReport& report, const TextStyle& style) {
  std::string out = painted(shown(report.file), Tone::strong, style.color) + '\n';
  out += paragraph(verdict_sentence(report), verdict_tone(report), style);
  if (report.job && !style.quiet) out += paragraph(figures_sentence(*report.job), Tone::plain, style);
  return out;
}

struct ValueAsToml {
  std::string operator()(double value) const { return spoken(value, 4); }
  std::string operator()(const std::string& value) const { return '"' + value + '"'; }
  std::string operator()(bool value) const { return value ? "true" : "false"; }
  std::string operator()(const Range& value) const {
    return fmt::format("[{}, {}]", spoken(value.low, 3), spoken(value.high, 3));
  }
};

std::string stated(const Assumption& assumption) {
  return assumption.key + " = " + std::visit(ValueAsToml{}, assumption.value);
}

bool by_a_person(const Assumption& assumption) {
  return assumption.from == Origin::profile || assumption.from == Origin::command_line;
}

std::string bullet(const std::string& text, const TextStyle& style) { return hanging("  ", shown(text), style.width); }

std::string title(std::string_view text, const TextStyle& style) {
  return '\n' + paragraph(std::string(text), Tone::strong, style);
}

/// All in one paragraph, for a file that leaves room for little else.
std::string assumed_in_short(const FileReport& report, const TextStyle& style) {
  std::vector<std::string> parts;
  for (const Assumption& assumption : report.assumptions) {
    if (!by_a_person(assumption)) parts.push_back(stated(assumption));
  }
  return bullet(fmt::format("{}. The reasons: beadwise profile show FILE.", fmt::join(parts, "; ")), style);
}

/// Values with one reason stand together.
std::string assumed_in_full(const FileReport& report, const TextStyle& style) {
  std::string out;
  const std::vector<Assumption>& all = report.assumptions;
  for (std::size_t first = 0, next = 0; first < all.size(); first = next) {
    std::vector<std::string> values;
    const auto same_reason = [&](const Assumption& other) {
      return other.from == all[first].from && other.because == all[first].because;
    };
    for (next = first; next < all.size() && same_reason(all[next]); ++next) values.push_back(stated(all[next]));
    if (by_a_person(all[first])) continue;
    const std::string because = all[first].because.empty() ? std::string() : ": " + all[first].because;
    const std::string_view origin = all[first].from == Origin::file ? "from the file" : "built-in";
    const std::string text = fmt::format("{} ({}){}", fmt::join(values, "; "), origin, because);
    out += hanging("    ", shown(text), style.width).substr(2);
  }
  return out;
}

std::string assumed(const FileReport& report, bool in_short, const TextStyle& style) {
  if (std::all_of(report.assumptions.begin(), report.assumptions.end(), by_a_person)) return {};
  return title("Assumed; say otherwise with --set KEY=VALUE or in a beadwise.toml", style) +
         (in_short ? assumed_in_short(report, style) : assumed_in_full(report, style));
}

std::string unseen(const FileReport& report, const TextStyle& style) {
  std::string out;
  for (const std::string& sentence : report.unseen) out += bullet(sentence, style);
  std::vector<std::string> names;
  for (const NamedCount& command : report.unknown) {
    names.push_back(command.count == 1 ? command.name : fmt::format("{} ({} times)", command.name, command.count));
  }
  if (!names.empty()) out += bullet("Commands passed over: " + listed(names) + ".", style);
  return out.empty() ? out : title("Not seen", style) + out;
}

/// The skipped checks by their reason, in order of the first name.
std::vector<std::pair<std::string, std::vector<std::string>>> skipped_by_reason(const FileReport& report) {
  std::vector<std::pair<std::string, std::vector<std::string>>> groups;
  for (const CheckState& state : report.checks) {
    if (state.ran) continue;
    const std::string because = state.because.value_or("");
    const auto same = [&](const auto& group) { return group.first == because; };
    auto group = std::find_if(groups.begin(), groups.end(), same);
    if (group == groups.end()) group = groups.insert(groups.end(), {because, {}});
    group->second.push_back(state.check);
  }
  return groups;
}

std::string checked(const FileReport& report, const TextStyle& style) {
  if (report.checks.empty()) return {};
  const auto silent =
      static_cast<std::uint64_t>(std::count_if(report.checks.begin(), report.checks.end(), [](const CheckState& state) {
        return state.ran && state.findings == 0;
      }));
  std::string out = title("Checked", style);
  const std::uint64_t ran = checks_run(report);
  const std::string found = silent == ran ? " and found nothing" : fmt::format("; {} of them found nothing", silent);
  out += bullet(fmt::format("{} ran{} (beadwise checks lists them).", counted(ran, "check"), found), style);
  for (const auto& [because, names] : skipped_by_reason(report)) {
    const std::string reason = because.empty() ? "" : ": " + because;
    out += bullet("Skipped " + listed(names) + reason, style);
  }
  return out;
}

/// A blank line before each.
std::string findings_in_full(const FileReport& report, const TextStyle& style) {
  std::string out;
  std::size_t number = 0;
  for (const Finding& finding : report.findings) {
    ++number;
    if (style.quiet && finding.severity < Severity::warning) continue;
    out += '\n' + finding_in_full(number, finding, style);
  }
  return out;
}

std::string one_file(const FileReport& report, const TextStyle& style) {
  const std::string top = head(report, style) + findings_in_full(report, style);
  if (style.quiet) return top;
  const auto with_tail = [&](bool in_short) {
    return top + assumed(report, in_short, style) + unseen(report, style) + checked(report, style);
  };
  const std::string full = with_tail(false);
  const auto lines = static_cast<std::size_t>(std::count(full.begin(), full.end(), '\n'));
  const bool may_be_short = report.findings.empty() && !report.failure;
  return may_be_short && lines > screen_lines ? with_tail(true) : full;
}

/// One of several: the notes in short, and what was assumed left to the report of the file alone.
std::string one_of_several(const FileReport& report, const TextStyle& style) {
  std::string out = head(report, style);
  std::size_t number = 0;
  for (const Finding& finding : report.findings) {
    ++number;
    if (finding.severity >= Severity::warning) {
      out += '\n' + finding_in_full(number, finding, style);
    } else if (!style.quiet) {
      out += '\n' + finding_in_short(number, finding, style);
    }
  }
  return out;
}

std::string summary_line(std::span<const FileReport> reports, std::string_view verdict, Tone tone,
                         const TextStyle& style) {
  std::vector<std::string> names;
  for (const FileReport& report : reports) {
    if (report.verdict() == verdict) names.push_back(shown(report.file));
  }
  if (names.empty()) return {};
  const std::string label =
      fmt::format("  {}{}  ", left_aligned(verdict, 11), right_aligned(std::to_string(names.size()), 4));
  std::string rest;
  if (names.size() > names_listed) {
    rest = fmt::format(" and {} more", names.size() - names_listed);
    names.resize(names_listed);
  }
  std::string out = hanging(label, fmt::format("{}{}", fmt::join(names, ", "), rest), style.width);
  out.replace(0, label.size(), painted(label, tone, style.color));
  return out;
}

std::string summary(std::span<const FileReport> reports, const TextStyle& style) {
  std::string out = paragraph(fmt::format("All {}, by the worst found in each", counted(reports.size(), "file")),
                              Tone::strong, style);
  const std::array<std::pair<std::string_view, Tone>, 5> verdicts = {{{"unreadable", Tone::error},
                                                                      {"error", Tone::error},
                                                                      {"warning", Tone::warning},
                                                                      {"note", Tone::note},
                                                                      {"clean", Tone::good}}};
  for (const auto& [verdict, tone] : verdicts) out += summary_line(reports, verdict, tone, style);
  if (!style.quiet) out += paragraph("What was assumed about a file: beadwise check FILE alone.", Tone::plain, style);
  return out;
}

}  // namespace

std::string check_as_text(std::span<const FileReport> reports, const TextStyle& style) {
  if (reports.size() == 1) return one_file(reports.front(), style);
  std::string out;
  for (const FileReport& report : reports) out += one_of_several(report, style) + '\n';
  return out + summary(reports, style);
}

}  // namespace beadwise
