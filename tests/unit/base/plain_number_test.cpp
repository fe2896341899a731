#include "base/plain_number.hpp"

#include <doctest/doctest.h>

#include <string>

#include "base/lower_case.hpp"

using namespace beadwise;

TEST_CASE("a plain number is digits with at most one point, and nothing else") {
  CHECK(plain_number("205") == 205.0);
  CHECK(plain_number("0.4") == 0.4);
  CHECK(plain_number(".5") == 0.5);
  CHECK(plain_number("5.") == 5.0);
  for (const char* text : {"", ".", "-5", "+5", "1e3", "1.2.3", "12 ", "inf", "nan", "0x10"}) {
    CAPTURE(text);
    CHECK_FALSE(plain_number(text));
  }
  CHECK_FALSE(plain_number(std::string(400, '9')));
}

TEST_CASE("only ASCII letters have a lower case here") {
  CHECK(lower_case("Nozzle_HEAT \xC3\x84") == "nozzle_heat \xC3\x84");
}
