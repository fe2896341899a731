#include "text/line_ends.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace beadwise {

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  LineEnds ends(text);
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = ends.end_of_line(from);
    lines.push_back(text.substr(from, end - from));
    from = ends.after(end);
  }
  return lines;
}

}  // namespace

TEST_CASE("a line ends in LF, in CRLF or in CR, and the last may end in nothing") {
  CHECK(lines_of("a\nb\r\nc\rd") == std::vector<std::string>{"a", "b", "c", "d"});
  CHECK(lines_of("a\n\r\n\r\r") == std::vector<std::string>{"a", "", "", ""});
  CHECK(lines_of("\n\r") == std::vector<std::string>{"", ""});
  CHECK(lines_of("").empty());
}

TEST_CASE("line ends are counted as they are found") {
  // 100 lines make the text longer than the stretches that are counted at once.
  for (const std::string line : {"\n", "G1\n", "G1\r\n", "G1 X100\r", "\r"}) {
    CAPTURE(line);
    std::string text;
    for (int i = 0; i < 100; ++i) text += line;
    CHECK(count_line_ends(text) == 100);
    CHECK(count_line_ends("M2 " + text + "G1 X1") == 100);
  }
  CHECK(count_line_ends("") == 0);
  CHECK(count_line_ends("a\n\rb\r\r\nc") == 4);  // LF, CR, CR, CRLF
}

}  // namespace beadwise
