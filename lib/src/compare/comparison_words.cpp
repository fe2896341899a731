#include "compare/comparison_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "report/quantity.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

/// A unit that a person reads.
struct ReadUnit {
  std::string_view unit;
  double per_unit = 1;
  int decimals = 0;
};

ReadUnit read_unit(std::string_view unit) {
  constexpr double seconds_per_minute = 60;
  constexpr double mm_per_m = 1000;
  if (unit == "s") return {"min", seconds_per_minute, 1};
  if (unit == "mm") return {"m", mm_per_m, 2};
  return {unit, 1, unit.empty() ? 0 : 1};
}

/// With all its decimals, so that a column of them can be read down.
std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "unknown";
  const std::string text = fmt::format("{:.{}f}", value, decimals);
  return text.find_first_not_of("-0.") == std::string::npos ? "0" : text;
}

std::string cell(const std::optional<double>& value, const ReadUnit& unit) {
  return value ? fixed(*value / unit.per_unit, unit.decimals) : std::string();
}

std::string with_sign(const std::optional<double>& value, int decimals) {
  if (!value) return {};
  std::string text = fixed(*value, decimals);
  return *value > 0 && text != "0" ? '+' + text : text;
}

std::vector<std::string> row(const ComparedFigure& figure) {
  const ReadUnit unit = read_unit(figure.unit);
  std::optional<double> difference = figure.difference();
  if (difference) *difference /= unit.per_unit;
  return {unit.unit.empty() ? std::string(figure.name) : fmt::format("{}, {}", figure.name, unit.unit),
          cell(figure.before, unit), cell(figure.after, unit), with_sign(difference, unit.decimals),
          with_sign(figure.percent(), 1)};
}

}  // namespace

std::uint64_t count_of(const Comparison& comparison, Change change) {
  return static_cast<std::uint64_t>(
      std::count_if(comparison.findings.begin(), comparison.findings.end(),
                    [&](const ComparedFinding& finding) { return finding.change == change; }));
}

std::string comparison_sentence(const Comparison& comparison) {
  if (comparison.findings.empty()) return "Nothing was found, before or after.";
  const std::uint64_t unchanged = count_of(comparison, Change::unchanged);
  if (unchanged == comparison.findings.size())
    return fmt::format("Nothing changed: {} as before.", counted(unchanged, "finding"));
  std::vector<std::string> parts;
  for (const Change change : {Change::appeared, Change::worse, Change::better, Change::gone, Change::unchanged})
    if (const std::uint64_t count = count_of(comparison, change); count > 0)
      parts.push_back(fmt::format("{} {}", count, to_string(change)));
  const bool no_worse = count_of(comparison, Change::appeared) == 0 && count_of(comparison, Change::worse) == 0;
  return fmt::format("{}: {}.", no_worse ? "Nothing is new or worse" : "What changed", listed(parts));
}

std::string measures_in_words(const ComparedFinding& finding) {
  if (!finding.before || !finding.after || !finding.before->measured || !finding.after->measured) return {};
  const Measured& before = *finding.before->measured;
  const Measured& after = *finding.after->measured;
  if (before.unit != after.unit) return {};
  const std::string limit = before.limit == after.limit ? quantity(after.limit, after.unit)
                                                        : fmt::format("{} and {}", quantity(before.limit, before.unit),
                                                                      quantity(after.limit, after.unit));
  return fmt::format("{} → {}; limit {}", quantity(before.value, before.unit), quantity(after.value, after.unit),
                     limit);
}

std::string remark_on(const ComparedFinding& finding) {
  if (finding.elsewhere) return "of the same kind as before, but elsewhere";
  if (!finding.unjudged) return {};
  return fmt::format("the check did not judge the file {}: {}", finding.after ? "before" : "after", *finding.unjudged);
}

std::string change_in_words(const ComparedFinding& finding) {
  return std::string(to_string(finding.change)) + (finding.latest().accepted ? ", accepted" : "");
}

std::vector<std::string> unchanged_checks(const Comparison& comparison) {
  std::map<std::string, std::uint64_t> counts;
  for (const ComparedFinding& finding : comparison.findings)
    if (finding.change == Change::unchanged) ++counts[finding.latest().check];
  std::vector<std::string> names;
  for (const auto& [check, count] : counts) names.push_back(count == 1 ? check : fmt::format("{} ({})", check, count));
  return names;
}

std::vector<std::vector<std::string>> figure_table(const Comparison& comparison) {
  std::vector<std::vector<std::string>> rows = {{"figure", "before", "after", "difference", "%"}};
  for (const ComparedFigure& figure : comparison.figures) rows.push_back(row(figure));
  return rows;
}

}  // namespace beadwise
