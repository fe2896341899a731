#include "report/wrap.hpp"

#include <doctest/doctest.h>

using namespace beadwise;

TEST_CASE("columns are counted in letters, not in bytes") {
  CHECK(columns_of("4.2 mm³/s") == 9);
  CHECK(columns_of("e\xCC\x81") == 1);     // e and a combining acute accent
  CHECK(columns_of("\xE6\x9E\x9C") == 2);  // a wide letter: fruit
  CHECK(columns_of("\xFF\xFE") == 2);      // each byte that is no UTF-8 is shown as one letter
}

TEST_CASE("lines break at blanks, and inside a word only where it is longer than a line") {
  CHECK(wrapped("one two three four five", 20) == std::vector<std::string>{"one two three four", "five"});
  CHECK(wrapped("", 20) == std::vector<std::string>{""});
  CHECK(wrapped("  one   two  ", 20) == std::vector<std::string>{"one two"});
  CHECK(wrapped("a " + std::string(45, 'x'), 20) ==
        std::vector<std::string>{"a", std::string(20, 'x'), std::string(20, 'x'), "xxxxx"});
}

TEST_CASE("a number and its unit stay on one line, an axis and its coordinate too") {
  CHECK(wrapped("the flow rises to 14.6 mm³/s, then", 20) ==
        std::vector<std::string>{"the flow rises to", "14.6 mm³/s, then"});
  CHECK(wrapped("it reaches as far as Z -6.5 mm", 23) == std::vector<std::string>{"it reaches as far as", "Z -6.5 mm"});
  CHECK(wrapped("one of all layers 12 to 14", 20) == std::vector<std::string>{"one of all layers 12", "to 14"});
}

TEST_CASE("a letter of several bytes is never cut") {
  std::string word;
  for (int i = 0; i < 50; ++i) word += "ü";
  for (const std::string& line : wrapped(word, 21)) CHECK(shown(line) == line);
}

TEST_CASE("lines after the first stand below its text") {
  CHECK(hanging("  - ", "one two three four five", 24) == "  - one two three four\n    five\n");
}

TEST_CASE("what a terminal would obey is replaced") {
  CHECK(shown("a\tb\nc") == "a b c");
  CHECK(shown("\x1b[2J") == "\xEF\xBF\xBD[2J");
  CHECK(shown("\xC2\x9B") == "\xEF\xBF\xBD");              // a control character of two bytes
  CHECK(shown("\xE2\x80\xAE") == "\xEF\xBF\xBD");          // turns the reading direction
  CHECK(shown("\xC0\x80") == "\xEF\xBF\xBD\xEF\xBF\xBD");  // overlong
  CHECK(shown("Größe 5 µm") == "Größe 5 µm");
}

TEST_CASE("cells are filled up to their width") {
  CHECK(left_aligned("mm³", 5) == "mm³  ");
  CHECK(right_aligned("42", 5) == "   42");
  CHECK(right_aligned("123456", 5) == "123456");
}
