#include "base/utf8.hpp"

#include <doctest/doctest.h>

#include <string>

using beadwise::CodePoint;
using beadwise::first_code_point;

TEST_CASE("a letter of one to four bytes (RFC 3629, section 7, the examples)") {
  struct Example {
    std::string bytes;
    std::uint32_t code;
  };
  // A, not identical to, alpha; Korean; Japanese; a stump of a tree beyond the 16 bits.
  for (const Example& one : {Example{"A", 0x41},
                             {"\xE2\x89\xA2", 0x2262},
                             {"\xCE\x91", 0x391},
                             {"\xED\x95\x9C", 0xD55C},
                             {"\xE6\x97\xA5", 0x65E5},
                             {"\xF0\xA3\x8E\xB4", 0x233B4},
                             {"\xEF\xBB\xBF", 0xFEFF}}) {
    const CodePoint letter = first_code_point(one.bytes + "B");
    CHECK(letter.valid);
    CHECK(letter.code == one.code);
    CHECK(letter.bytes == one.bytes.size());
  }
}

TEST_CASE("what is no letter is one byte: overlong, surrogate, beyond, cut off, stray (RFC 3629, section 3 and 10)") {
  for (const std::string bytes : {"\xC0\x80", "\xC0\xAE", "\xE0\x80\xAF", "\xF0\x80\x80\xAF", "\xED\xA0\x80",
                                  "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xE2\x82", "\x80", "\xFF"}) {
    const CodePoint letter = first_code_point(bytes);
    CHECK_FALSE(letter.valid);
    CHECK(letter.bytes == 1);
  }
}
