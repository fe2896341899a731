#pragma once

#include <cstdint>
#include <string_view>

#include "beadwise/check.hpp"

namespace beadwise::checks {

/// Whether a line that has no line end reads as a whole command. A number that lost its last digits cannot be told from
/// a whole one, so `G1 X1` is complete; `G1 X`, `G1 X-`, `M104 S`, `N3 G1 X1*` are not.
bool reads_complete(std::string_view line);

/// Whether a line is a command without words whose number may have lost digits, so that it was another one that jobs
/// end with: `M14` of `M140 S0`, `M1` of `M107`.
bool may_be_half_a_command(std::string_view line);

/// The number of the last line where the file ends inside its command, else 0.
std::uint64_t cut_line(const JobSummary& job);

}  // namespace beadwise::checks
