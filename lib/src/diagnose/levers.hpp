#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"

namespace beadwise {

/// What remedies turn up or down.
enum class Lever : std::uint8_t { nozzle, bed, chamber, speed, pull_length, pull_count, lift, fan, flow };

enum class Way : std::uint8_t { down, up };

/// That a remedy of a check turns a lever, where one of its sentences holds certain words.
struct LeverRow {
  std::string_view check;
  Lever lever;
  Way way;
  /// Words of the sentence, in small; `*` stands for anything between. Empty: the check's remedies turn nothing.
  std::string_view words;
  /// For a moment or a stretch of its own, such as while the head waits: it pulls against nothing.
  bool passing = false;
};

/// At least one row for every check.
std::span<const LeverRow> lever_rows();

/// A sentence of a finding's remedy and what it turns.
struct Turn {
  Lever lever;
  Way way;
  bool passing = false;
  std::string sentence;
};

/// What a finding's remedy turns, in the order of its sentences.
std::vector<Turn> turns_of(const Finding& finding);

/// How people speak of a lever, and how to go about it where remedies pull it both ways.
struct LeverGuide {
  Lever lever;
  std::string_view name;  ///< "the nozzle's temperature"
  std::string_view both;  ///< what serves both, to be tried first
  std::string_view step;  ///< how far at a time
  std::string_view last;  ///< where neither does
};

const LeverGuide& guide_of(Lever lever);

}  // namespace beadwise
