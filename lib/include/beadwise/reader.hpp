#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace beadwise {

/// A letter and, mostly, a number.
struct Word {
  double value = 0;
  std::uint32_t column = 0;  ///< from 1, in bytes, of the letter
  char letter = 0;           ///< upper case
  bool has_value = true;     ///< false for a bare letter, such as the X of `G28 X`
};

/// What could not be read in a line.
enum class TroubleKind : std::uint8_t {
  word,           ///< a letter with a value that is no number: `F{speed}`, `X#3`, `X[1+2]`, `XNaN`
  stray_text,     ///< characters that belong to no word
  command,        ///< the G, M or T of the line has no readable number: the line is left out whole
  repeated_word,  ///< a letter that was there before: the first one counts (G and M are not meant here)
  dropped_words,  ///< more words than a line may hold (`max_words_per_line`)
  // The machine adds these:
  repeated_command,  ///< two commands of one kind on a line: the first one counts
  no_motion_mode,    ///< words that repeat a motion mode before there was one
  bad_value,         ///< a number that its command cannot have: a negative dwell, a bare axis word in a motion
  text_line,         ///< a line that is no G-code at all: prose, a merge mark
};

struct Trouble {
  TroubleKind kind = TroubleKind::word;
  std::uint32_t column = 0;  ///< from 1, in bytes
  std::uint32_t length = 0;  ///< in bytes
};

/// What a line turned out to be.
enum class LineForm : std::uint8_t {
  blank,     ///< nothing, a comment alone, `%`, or a line skipped by a leading `/`
  words,     ///< G-code words (perhaps none readable)
  message,   ///< M117, M118, M23, M28, M30, M32 and their like: the rest of the line is text
  extended,  ///< `NAME KEY=VALUE …` or `@name …`
  unread,    ///< nothing of it is to be followed
};

enum class Checksum : std::uint8_t { none, right, wrong };

/// One line as it was read. The views live as long as the ParsedBlock.
struct Line {
  std::uint64_t number = 0;  ///< physical, from 1
  std::uint64_t offset = 0;  ///< of its first byte in the job
  LineForm form = LineForm::blank;
  Checksum checksum = Checksum::none;
  std::string_view text;        ///< the whole line without its end
  std::string_view comment;     ///< what stands in its first comment, without the marks
  std::string_view name;        ///< extended: the name as written (`@` left out). message: empty
  std::string_view arguments;   ///< extended, message, M code with text: the rest, trimmed, without its comment
  std::span<const Word> words;  ///< in order, without N. Words that were not read or repeated are not among them
  std::span<const Trouble> troubles;
};

struct Block;

/// The lines of a block, in a few flat arrays that are reused from block to block.
class ParsedBlock {
 public:
  std::size_t size() const { return lines_.size(); }
  Line line(std::size_t index) const {
    const Record& record = lines_[index];
    Line line = record.line;
    line.words = {words_.data() + record.first_word, record.word_count};
    line.troubles = {troubles_.data() + record.first_trouble, record.trouble_count};
    return line;
  }
  const std::string& bytes() const { return bytes_; }

 private:
  friend void parse_block(Block& block, ParsedBlock& parsed);
  struct Record {
    Line line;
    std::uint32_t first_word = 0;
    std::uint32_t word_count = 0;
    std::uint32_t first_trouble = 0;
    std::uint32_t trouble_count = 0;
  };
  std::string bytes_;
  std::vector<Record> lines_;
  std::vector<Word> words_;
  std::vector<Trouble> troubles_;
};

/// More words than this on one line are dropped and reported.
inline constexpr std::size_t max_words_per_line = 64;

}  // namespace beadwise
