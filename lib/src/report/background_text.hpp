#pragma once

#include <string>

#include "beadwise/report.hpp"
#include "report/paint.hpp"

namespace beadwise {

/// How much is told below the findings: all, values without their reasons, or names alone.
enum class Detail : std::uint8_t { full, values, terse };

/// What stands below the findings: what was assumed, what could not be seen, what was checked.
std::string background(const FileReport& report, Detail detail, const TextStyle& style);

/// How many checks judged the file.
std::uint64_t checks_run(const FileReport& report);

/// Lines of one tone.
std::string paragraph(const std::string& text, Tone tone, const TextStyle& style);

}  // namespace beadwise
