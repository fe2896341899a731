#pragma once

#include <cstddef>

#include "beadwise/report.hpp"
#include "beadwise/source.hpp"

namespace beadwise {

/// Reads a job a second time and fills in where the lines stand that its findings name. Nothing is filled in where the
/// job cannot be read again, or has become another one.
void add_line_spots(const Source& source, std::size_t block_bytes, FileReport& report);

}  // namespace beadwise
