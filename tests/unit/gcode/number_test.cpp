#include "gcode/number.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <random>
#include <string>

namespace beadwise::grammar {

namespace {

struct Read {
  bool there;
  double value;
  std::string rest;
  bool operator==(const Read&) const = default;
};

Read number(const std::string& text) {
  const NumberRead read = read_number(text.data(), text.data() + text.size());
  if (read.end == nullptr) return {false, 0, text};
  return {true, read.value, text.substr(static_cast<std::size_t>(read.end - text.data()))};
}

// A number, and nothing left behind it.
bool is(const std::string& text, double value) { return number(text) == Read{true, value, ""}; }

}  // namespace

TEST_CASE("a number is a sign, digits and a point, and one of the digits may be left out (NISTIR 6556, 3.3.2.1)") {
  CHECK(is("5", 5));
  CHECK(is("+5", 5));
  CHECK(is("-.8", -0.8));
  CHECK(is("5.", 5));
  CHECK(is(".5", 0.5));
  CHECK(is("007", 7));
  CHECK_FALSE(number(".").there);
  CHECK_FALSE(number("-").there);
  CHECK_FALSE(number("").there);
  CHECK_FALSE(number("--5").there);
}

TEST_CASE("a number stops where a letter of the next word stands") {
  // What general number readers make of these: 1000, and 1 as a hexadecimal number.
  CHECK(number("10E2") == Read{true, 10, "E2"});
  CHECK(number("0X1Y2") == Read{true, 0, "X1Y2"});
  CHECK_FALSE(number("INF").there);
  CHECK_FALSE(number("nan").there);
}

TEST_CASE("blanks inside a number mean nothing (NISTIR 6556, section 3.3)") {
  CHECK(is("1 2", 12));
  CHECK(is("+0. 12 34", 0.1234));
  CHECK(is("- 5", -5));
  CHECK(
      is("1\t.\xC2\xA0"
         "5",
         1.5));
  CHECK(number("5  Y") == Read{true, 5, "  Y"});
  CHECK(number("5 ") == Read{true, 5, " "});
}

TEST_CASE("E is an exponent only behind seven or more decimals, without a blank, and when it is no word") {
  CHECK(is("1.4210854715202004e-14", 1.4210854715202004e-14));
  CHECK(is("1.0000000E2", 100));
  CHECK(number("1.000000E2") == Read{true, 1, "E2"});
  CHECK(number("1.0000000E5.25") == Read{true, 1, "E5.25"});
  CHECK(number("1.0000000 E2") == Read{true, 1, " E2"});
  CHECK(number("1.0000000E") == Read{true, 1, "E"});
  CHECK(number("1.0000000E-X") == Read{true, 1, "E-X"});
}

TEST_CASE("a number too large for a double is none, one too small is zero") {
  CHECK(is("99999999999999999999", 1e20));
  CHECK_FALSE(number(std::string(400, '9')).there);
  CHECK_FALSE(number("1.0000000E999999999999").there);
  CHECK(is("1.0000000E-999999999999", 0));
  CHECK(is("0." + std::string(400, '0') + "1", 0));
  CHECK(is(std::string(400, '0') + "1", 1));
  CHECK(is("0.0000000E999999999999", 0));
}

TEST_CASE("a value is the double nearest to what is written") {
  // Sixteen decimals; a quotient of two doubles would be one off in the last place.
  CHECK(is("9.524999999999999", 9.524999999999999));
  CHECK(is("0.1234567890123456789", 0.1234567890123456789));
  // 2^53 + 1 lies half way between two doubles and goes to the even one; a digit far behind decides otherwise.
  CHECK(is("9007199254740993", 9007199254740992.0));
  CHECK(is("9007199254740993." + std::string(900, '0') + "1", 9007199254740994.0));
}

TEST_CASE("any decimal is read as the C library reads it") {
  std::mt19937 random(20000817);
  for (int i = 0; i < 200000; ++i) {
    std::string text = random() % 2 == 0 ? "-" : "";
    for (auto digits = 1 + random() % 9; digits > 0; --digits) text += static_cast<char>('0' + random() % 10);
    text += '.';
    for (auto digits = random() % 20; digits > 0; --digits) text += static_cast<char>('0' + random() % 10);
    CAPTURE(text);
    REQUIRE(is(text, std::strtod(text.c_str(), nullptr)));
  }
}

}  // namespace beadwise::grammar
