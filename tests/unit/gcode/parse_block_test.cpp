#include "gcode/parse_block.hpp"

#include <doctest/doctest.h>

#include <chrono>
#include <random>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "one_line.hpp"

namespace beadwise::tests {

namespace {

// A line of ten million bytes is read in a tenth of a second or less; a quadratic reader would need many minutes.
void read_ten_million_bytes(const std::string& start, const std::string& pattern) {
  CAPTURE(start);
  CAPTURE(pattern);
  std::string text = start;
  while (text.size() < 10'000'000) text += pattern;
  text += "\nG1 X5\n";
  const auto begin = std::chrono::steady_clock::now();
  const ParsedBlock parsed = read_block(std::move(text));
  CHECK(std::chrono::steady_clock::now() - begin < std::chrono::minutes(1));
  REQUIRE(parsed.size() == 2);
  CHECK(told(parsed.line(1)) == "G1 X5");
  CHECK(parsed.line(0).troubles.size() <= 16);
  CHECK(parsed.line(0).words.size() <= max_words_per_line);
}

}  // namespace

TEST_CASE("lines end in LF, CRLF and CR, in any mixture, and are numbered and placed") {
  Block block;
  block.bytes = "G1 X1\nG1 X2\r\nG1 X3\rG1 X4\n\rG1 X5";
  block.first_line = 100;
  block.offset = 1000;
  ParsedBlock parsed;
  parse_block(block, parsed);
  REQUIRE(parsed.size() == 6);
  const std::vector<std::string> expected = {"G1 X1", "G1 X2", "G1 X3", "G1 X4", "blank", "G1 X5"};
  const std::vector<std::uint64_t> offsets = {1000, 1006, 1013, 1019, 1025, 1026};
  for (std::size_t i = 0; i < expected.size(); ++i) {
    CHECK(told(parsed.line(i)) == expected[i]);
    CHECK(parsed.line(i).number == 100 + i);
    CHECK(parsed.line(i).offset == offsets[i]);
  }
}

TEST_CASE("a block read into a used one leaves nothing of the old") {
  ParsedBlock parsed = read_block("G1 X1 Y2 F{f}\nM117 hi\n@a b\n");
  Block block;
  block.bytes = "G1 X3\n";
  parse_block(block, parsed);
  REQUIRE(parsed.size() == 1);
  CHECK(told(parsed.line(0)) == "G1 X3");
}

TEST_CASE("what was read stays readable where a parsed block is moved, also of a very short job") {
  ParsedBlock parsed = read_block("T1;a\n");
  const std::vector<ParsedBlock> moved = [&] {
    std::vector<ParsedBlock> blocks;
    blocks.push_back(std::move(parsed));
    return blocks;
  }();
  CHECK(told(moved[0].line(0)) == "T1 ;<a>");
  CHECK(moved[0].line(0).text.data() == moved[0].bytes().data());
}

TEST_CASE("words beyond the most that a line may hold are dropped and told once") {
  std::string text;
  for (int code = 1; code <= 70; ++code) text += "G" + std::to_string(code);
  const ParsedBlock parsed = read_block(text);
  const Line line = parsed.line(0);
  REQUIRE(line.words.size() == max_words_per_line);
  CHECK(line.words.back().value == 64);
  REQUIRE(line.troubles.size() == 1);
  CHECK(line.troubles[0].kind == TroubleKind::dropped_words);
  CHECK(line.text.substr(line.troubles[0].column - 1, line.troubles[0].length) == "G65G66G67G68G69G70");
}

TEST_CASE("at most sixteen troubles are told of one line") {
  std::string text = "G1";
  for (int i = 0; i < 40; ++i) text += " X? G1";
  const ParsedBlock parsed = read_block(text);
  CHECK(parsed.line(0).troubles.size() == 16);
  CHECK(parsed.line(0).words.size() == 41);
}

TEST_CASE("whatever stands in a line, what is told of it lies in it, and the next line is read") {
  using namespace std::string_view_literals;
  constexpr std::string_view bytes = "GMTNXYZEIJabc_ \t\xC2\xA0\xFF;()[]{}#*\"@%/=,.+-0123456789\0"sv;
  std::mt19937 random(6556);
  for (int i = 0; i < 100'000; ++i) {
    std::string text;
    for (auto length = random() % 30; length > 0; --length) text += bytes[random() % bytes.size()];
    CAPTURE(text);
    const ParsedBlock parsed = read_block(text + "\nG1 X5");
    REQUIRE(parsed.size() == 2);
    REQUIRE(told(parsed.line(1)) == "G1 X5");
    const Line line = parsed.line(0);
    REQUIRE(line.text == text);
    std::uint32_t column = 0;
    for (const Word& word : line.words) {
      REQUIRE(word.column > column);
      column = word.column;
      REQUIRE(static_cast<char>(line.text.at(column - 1) & ~0x20) == word.letter);
    }
    for (const Trouble& trouble : line.troubles) {
      REQUIRE(trouble.column >= 1);
      REQUIRE(trouble.length >= 1);
      REQUIRE(trouble.column - 1 + trouble.length <= text.size());
    }
    REQUIRE((line.form == LineForm::unread) <= (line.words.empty() && line.troubles.size() == 1));
    REQUIRE((line.form == LineForm::blank) <= (line.words.empty() && line.troubles.empty()));
  }
}

TEST_CASE("a line of ten million bytes costs time that grows with its length alone") {
  const std::vector<std::string> patterns = {"[",  "X[",  "(",   "\"", "X",   "X\"",  "#",  "X#", "#1 ", "*",
                                             "*1", " ",   "1",   ".",  "X1 ", "G1 ",  "X?", "{ ", "N",   "@ ",
                                             "a_", "A=(", "X#<", "X ", "E1e", "X1 5", "; ", "-",  "X-",  "\xC2"};
  for (const std::string& pattern : patterns) read_ten_million_bytes("", pattern);
}

TEST_CASE("behind a name, a code with text and a long number, ten million bytes cost no more") {
  for (const std::string start : {"PRINT_START A=", "M1002 set_x ", "M117 ", "X1.00000000"}) {
    for (const std::string pattern : {" (", " ( )x", "\"", "*1", " ", "_"}) read_ten_million_bytes(start, pattern);
  }
}

}  // namespace beadwise::tests
