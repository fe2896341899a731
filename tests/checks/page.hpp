#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/profile.hpp"

namespace beadwise::tests {

/// A finding that an example must give: `; expect: low-travel` or `; expect: low-travel warning`.
struct Expectation {
  std::string check;
  std::optional<Severity> severity;
  /// Of the line of code that the mark stands behind; 0 where it stands on a line of its own and means any place.
  std::uint64_t line = 0;
};

/// A piece of G-code with what it must give.
struct Example {
  std::string name;
  std::string gcode;
  bool flagged = false;
  std::vector<Expectation> expectations;
  std::vector<std::string> sets;   ///< from `; set: machine.liner=true`, as `--set` takes them
  std::vector<std::string> skips;  ///< from `; skips: the material is unknown`, words of why the check did not judge
  std::vector<std::string> tells;  ///< from `; tells: 31 of 30 passes`, words of one of the findings
};

/// Reads the marks in the comments. Throws std::runtime_error for a mark that says nothing.
Example read_example(std::string name, std::string gcode, bool flagged);

/// A row of a page's table of thresholds, without the code marks.
struct ThresholdRow {
  std::string key, built_in, unit, meaning, source;
};

/// What stands in a page.md.
struct Page {
  std::string title;
  std::string summary;
  std::vector<std::string> headings;
  std::vector<ThresholdRow> thresholds;
  std::vector<Example> examples;
};

Page read_page(std::string_view text);

}  // namespace beadwise::tests
