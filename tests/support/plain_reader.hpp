#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/reader.hpp"

namespace beadwise::tests {

/// A plain hand-written loop that reads lines of G-code as docs/reading.md says: what the grammar is held against. It
/// tells no troubles, but which lines are left out.
class PlainReader {
 public:
  /// Reads every line of `bytes`, which must outlive what is read.
  void read(std::string_view bytes);

  std::size_t size() const { return lines_.size(); }
  Line line(std::size_t index) const;

 private:
  struct Record {
    Line line;
    std::size_t first_word = 0;
    std::size_t word_count = 0;
  };
  std::vector<Record> lines_;
  std::vector<Word> words_;
};

/// Where the grammar, given the job in blocks of `block_bytes`, and the plain reader read it differently: one sentence
/// with the line; empty where they agree.
std::string reads_otherwise(std::string_view job, std::size_t block_bytes);

}  // namespace beadwise::tests
