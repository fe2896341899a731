#include "analyse/line_spots.hpp"

#include <algorithm>
#include <cstdint>
#include <string_view>
#include <utility>
#include <vector>

#include "analyse/named_lines.hpp"
#include "base/utf8.hpp"
#include "beadwise/error.hpp"
#include "text/block_reader.hpp"
#include "text/line_ends.hpp"

namespace beadwise {

namespace {

constexpr std::size_t most_text_bytes = 200;

bool is_ascii(std::string_view text) {
  unsigned char seen = 0;
  for (const char letter : text) seen |= static_cast<unsigned char>(letter);
  return seen < 0x80;
}

std::uint64_t count_code_points(std::string_view text) {
  if (is_ascii(text)) return text.size();
  std::uint64_t count = 0;
  for (; !text.empty(); ++count) text.remove_prefix(first_code_point(text).bytes);
  return count;
}

std::string_view beginning_of(std::string_view line) {
  if (line.size() <= most_text_bytes) return line;
  std::size_t end = 0;
  while (true) {
    const std::size_t next = end + first_code_point(line.substr(end)).bytes;
    if (next > most_text_bytes) return line.substr(0, end);
    end = next;
  }
}

/// Finds lines, given in order, in blocks that are read one after another.
class LineFinder {
 public:
  explicit LineFinder(std::vector<std::uint64_t> lines) : lines_(std::move(lines)) {}

  void read(const Block& block) {
    const std::string_view text = block.bytes;
    LineEnds ends(text);
    std::size_t start = 0;
    std::size_t counted = 0;
    for (std::uint64_t number = block.first_line; start < text.size() && wants_more(); ++number) {
      const std::size_t end = ends.end_of_line(start);
      if (number == lines_[next_]) {
        chars_ += count_code_points(text.substr(counted, start - counted));
        counted = start;
        add(number, block.offset + start, text.substr(start, end - start));
      }
      start = ends.after(end);
    }
    if (wants_more()) chars_ += count_code_points(text.substr(counted));
  }

  std::vector<LineSpot> take() { return std::move(spots_); }

 private:
  bool wants_more() const { return next_ < lines_.size(); }

  void add(std::uint64_t number, std::uint64_t byte_offset, std::string_view line) {
    spots_.push_back({.line = number,
                      .byte_offset = byte_offset,
                      .bytes = line.size(),
                      .char_offset = chars_,
                      .chars = count_code_points(line),
                      .text = std::string(beginning_of(line))});
    ++next_;
  }

  std::vector<std::uint64_t> lines_;
  std::vector<LineSpot> spots_;
  std::size_t next_ = 0;
  std::uint64_t chars_ = 0;
};

}  // namespace

void add_line_spots(const Source& source, std::size_t block_bytes, FileReport& report) {
  std::vector<std::uint64_t> lines = named_lines(report.findings);
  if (lines.empty()) return;
  try {
    LineFinder finder(std::move(lines));
    BlockReader reader(source, block_bytes);
    Block block;
    while (reader.next(block)) finder.read(block);
    if (reader.sha256() == report.sha256) report.line_spots = finder.take();
  } catch (const Error& error) {
    if (error.kind() != ErrorKind::file) throw;
  }
}

}  // namespace beadwise
