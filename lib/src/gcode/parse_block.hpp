#pragma once

#include "beadwise/reader.hpp"
#include "text/block_reader.hpp"

namespace beadwise {

/// Reads every line of `block` into `parsed`. The storage of both is exchanged, so nothing is copied and, in steady
/// state, nothing allocated. Grammar: gcode/grammar.hpp; what the words mean is the machine's affair.
void parse_block(Block& block, ParsedBlock& parsed);

}  // namespace beadwise
