#include "beadwise/compare.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "compare/badness.hpp"
#include "compare/match.hpp"

namespace beadwise {

namespace {

constexpr std::array<std::string_view, 5> change_names = {"new", "worse", "better", "gone", "unchanged"};
constexpr std::array<std::string_view, 4> known_by_names = {"", "fingerprint", "place", "likeness"};

ComparedFile file_of(const FileReport& report) {
  return {.file = report.file, .sha256 = report.sha256, .verdict = std::string(report.verdict())};
}

/// Why a check did not judge a file; nothing where it did.
std::optional<std::string> unjudged(const FileReport& report, std::string_view check) {
  const auto state = std::find_if(report.checks.begin(), report.checks.end(),
                                  [&](const CheckState& one) { return one.check == check; });
  if (state == report.checks.end()) return "it was not run";
  if (state->ran) return std::nullopt;
  return state->because.value_or("it was skipped");
}

Change change_of(const Finding& before, const Finding& after) {
  const int worse = worsening(before, after);
  return worse > 0 ? Change::worse : worse < 0 ? Change::better : Change::unchanged;
}

ComparedFinding compared(const Match& match, const FileReport& before, const FileReport& after) {
  ComparedFinding one;
  one.known_by = match.known_by;
  one.elsewhere = match.elsewhere;
  if (match.before) one.before = before.findings[*match.before];
  if (match.after) one.after = after.findings[*match.after];
  if (one.before && one.after) {
    one.change = change_of(*one.before, *one.after);
  } else {
    one.change = one.after ? Change::appeared : Change::gone;
    one.unjudged = unjudged(one.after ? before : after, one.latest().check);
  }
  return one;
}

bool comes_first(const ComparedFinding& a, const ComparedFinding& b) {
  const auto rank = [](const ComparedFinding& one) {
    const Finding& finding = one.latest();
    return std::make_tuple(one.change, finding.accepted.has_value(), -static_cast<int>(finding.severity),
                           std::cref(finding.check), std::cref(finding.key), std::cref(finding.fingerprint));
  };
  return rank(a) < rank(b);
}

/// How often a check met something, all its findings together.
std::optional<double> places_of(const FileReport& report, std::string_view check) {
  if (unjudged(report, check)) return std::nullopt;
  std::uint64_t count = 0;
  for (const Finding& finding : report.findings)
    if (finding.check == check) count += finding.places.count();
  return static_cast<double>(count);
}

struct FigureName {
  std::string_view key;
  std::string_view name;
  std::string_view unit;
  std::optional<double> (*of)(const JobFigures& job);
};

template <class Number>
std::optional<double> figure(Number value) {
  return static_cast<double>(value);
}

constexpr std::array<FigureName, 12> figure_names = {{
    {"duration_s", "printing time", "s", [](const JobFigures& job) { return figure(job.duration_s); }},
    {"layers", "layers", "", [](const JobFigures& job) { return figure(job.layers); }},
    {"filament_fed_mm", "filament", "mm", [](const JobFigures& job) { return figure(job.filament_fed_mm); }},
    {"filament_mass_g", "filament", "g", [](const JobFigures& job) { return job.filament_mass_g; }},
    {"extruding_path_mm", "path of beads", "mm", [](const JobFigures& job) { return figure(job.extruding_path_mm); }},
    {"travel_path_mm", "path of travels", "mm", [](const JobFigures& job) { return figure(job.travel_path_mm); }},
    {"travel_moves", "travels", "", [](const JobFigures& job) { return figure(job.travel_moves); }},
    {"retractions", "retractions", "", [](const JobFigures& job) { return figure(job.retractions); }},
    {"max_gear_passes", "most gear passes", "", [](const JobFigures& job) { return figure(job.max_gear_passes); }},
    {"peak_flow_mm3_per_s", "peak flow", "mm³/s",
     [](const JobFigures& job) { return figure(job.peak_flow_mm3_per_s); }},
    {"core_c_min", "coldest core", "°C", [](const JobFigures& job) { return job.core_c_min; }},
    {"feed_force_n", "feed force", "N", [](const JobFigures& job) { return job.feed_force_n; }},
}};

std::vector<ComparedFigure> figures_of(const FileReport& before, const FileReport& after) {
  std::vector<ComparedFigure> figures;
  const auto add = [&](const ComparedFigure& one) {
    if (one.before || one.after) figures.push_back(one);
  };
  for (const FigureName& one : figure_names)
    add({.key = one.key,
         .name = one.name,
         .unit = one.unit,
         .before = before.job ? one.of(*before.job) : std::nullopt,
         .after = after.job ? one.of(*after.job) : std::nullopt});
  add({"low_travels", "places of low-travel", "", places_of(before, "low-travel"), places_of(after, "low-travel")});
  add({"open_travels", "places of open-travel", "", places_of(before, "open-travel"), places_of(after, "open-travel")});
  return figures;
}

}  // namespace

std::string_view to_string(Change change) { return change_names.at(static_cast<std::size_t>(change)); }

std::string_view to_string(KnownBy known_by) { return known_by_names.at(static_cast<std::size_t>(known_by)); }

std::optional<double> ComparedFigure::difference() const {
  if (!before || !after) return std::nullopt;
  return *after - *before;
}

std::optional<double> ComparedFigure::percent() const {
  const std::optional<double> by = difference();
  if (!by || unit == "°C" || *before == 0) return std::nullopt;
  return 100 * *by / std::abs(*before);
}

Comparison compare(const FileReport& before, const FileReport& after) {
  Comparison comparison;
  comparison.before = file_of(before);
  comparison.after = file_of(after);
  for (const Match& one : match(before, after)) comparison.findings.push_back(compared(one, before, after));
  std::stable_sort(comparison.findings.begin(), comparison.findings.end(), comes_first);
  comparison.figures = figures_of(before, after);
  return comparison;
}

bool reaches(const Comparison& comparison, Severity gate) {
  return std::any_of(comparison.findings.begin(), comparison.findings.end(), [&](const ComparedFinding& one) {
    if (!one.after || one.after->accepted || one.after->severity < gate) return false;
    return !one.before || one.before->severity < gate;
  });
}

}  // namespace beadwise
