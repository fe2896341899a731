#include "checks/support/quote_of.hpp"

#include <doctest/doctest.h>

namespace beadwise::checks {
namespace {

TEST_CASE("plain text stands between quotation marks") {
  CHECK(quote_of("F{speed}") == "\"F{speed}\"");
  CHECK(quote_of("20 °C") == "\"20 °C\"");
  CHECK(quote_of("") == "\"\"");
}

TEST_CASE("what cannot be shown, or looks like a blank and is none, is written as its bytes") {
  CHECK(quote_of(std::string_view("X\0Y", 3)) == "\"X\\x00Y\"");
  CHECK(quote_of("G1\xC2\xA0X5") == "\"G1\\xC2\\xA0X5\"");
  CHECK(quote_of("\x1B[31m") == "\"\\x1B[31m\"");
  CHECK(quote_of("caf\xE9") == "\"caf\\xE9\"");
  CHECK(quote_of("\xED\xA0\x80") == "\"\\xED\\xA0\\x80\"");  // a surrogate is no character (RFC 3629, section 3)
}

TEST_CASE("long text is cut, never inside a character") {
  CHECK(quote_of(std::string(50, 'x')) == "\"" + std::string(40, 'x') + "…\"");
  CHECK(quote_of(std::string(40, 'x')) == "\"" + std::string(40, 'x') + "\"");
  CHECK(quote_of(std::string(39, 'x') + "°C") == "\"" + std::string(39, 'x') + "…\"");
}

}  // namespace
}  // namespace beadwise::checks
