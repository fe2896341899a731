#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "beadwise/report.hpp"
#include "report/paint.hpp"

namespace beadwise {

/// How much is told below the findings: all, values without their reasons, or names alone.
enum class Detail : std::uint8_t { full, values, terse };

/// What stands below the findings: what was assumed, what could not be seen, what was checked.
std::string background(const FileReport& report, Detail detail, const TextStyle& style);

/// Values that nobody stated and that were assumed for one reason.
struct AssumedForReason {
  std::vector<std::string> values;  ///< "machine.nozzle_diameter_mm = 0.4"
  std::string_view origin;          ///< "built-in" or "from the file"
  std::string because;              ///< may be empty
};

/// What was assumed, as the report has it; neighbours with one reason stand together.
std::vector<AssumedForReason> assumed_by_reason(const FileReport& report);

/// Checks that were skipped for one reason.
struct SkippedForReason {
  std::string because;  ///< may be empty
  std::vector<std::string> checks;
};

/// The skipped checks, in order of the first name.
std::vector<SkippedForReason> skipped_by_reason(const FileReport& report);

/// How many checks judged the file.
std::uint64_t checks_run(const FileReport& report);

/// Lines of one tone.
std::string paragraph(const std::string& text, Tone tone, const TextStyle& style);

}  // namespace beadwise
