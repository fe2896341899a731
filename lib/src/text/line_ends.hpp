#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string_view>

namespace beadwise {

/// The byte-order mark of UTF-8.
inline constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// Finds the line ends of a text one after another: LF, CRLF or CR, in any mixture.
class LineEnds {
 public:
  explicit LineEnds(std::string_view text) : text_(text), next_lf_(find('\n', 0)), next_cr_(find('\r', 0)) {}

  /// Where the line that starts at `from` ends, without its line end; the size of the text for a last line without one.
  /// `from` must not go back from call to call.
  std::size_t end_of_line(std::size_t from) {
    // Kept from call to call: a text with one kind of line end would otherwise be searched to its end for the other.
    if (next_lf_ < from) next_lf_ = find('\n', from);
    if (next_cr_ < from) next_cr_ = find('\r', from);
    return next_lf_ < next_cr_ ? next_lf_ : next_cr_;
  }

  /// Where the next line starts, given where this one ends.
  std::size_t after(std::size_t end) const {
    if (end >= text_.size()) return text_.size();
    const bool pair = text_[end] == '\r' && end + 1 < text_.size() && text_[end + 1] == '\n';
    return end + (pair ? 2 : 1);
  }

 private:
  std::size_t find(char wanted, std::size_t from) const {
    const std::size_t found = text_.find(wanted, from);
    return found == std::string_view::npos ? text_.size() : found;
  }

  std::string_view text_;
  std::size_t next_lf_;
  std::size_t next_cr_;
};

/// How many lines end in `text`; a CR at its very end counts as one.
std::uint64_t count_line_ends(std::string_view text);

}  // namespace beadwise
