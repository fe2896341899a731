// The examples of NISTIR 6556 ("The NIST RS274NGC Interpreter - Version 3", 2000) that concern the reading of a line.
// Where the printers' dialect decides otherwise, the test says so.

#include <doctest/doctest.h>

#include "one_line.hpp"

namespace beadwise::tests {

TEST_CASE("blanks anywhere mean nothing (NISTIR 6556, section 3.3)") {
  CHECK(read("g0x +0. 12 34y 7") == "G0 X0.1234 Y7");
  CHECK(read("g0x +0. 12 34y 7") == read("g0 x+0.1234 y7"));
}

TEST_CASE("a line number of more than five digits is an error in NISTIR 6556, section 3.3.1, but printers count on") {
  CHECK(read("N000009 G0 X1") == "G0 X1");
  CHECK(read("N1234567890123456789012345 G0 X1") == "G0 X1");
}

TEST_CASE("a comment stands in round brackets (NISTIR 6556, section 3.3.4)") {
  CHECK(read("G80 M5 (stop motion)") == "G80 M5 ;<stop motion>");
  CHECK(read("(open) G1 (mid) X1") == "G1 X1 ;<open>");
}

TEST_CASE("a comment ends at the first closing bracket; what follows is no word (NISTIR 6556, section 3.3.4)") {
  CHECK(read("G1 X1 (a (b) c)") == "G1 X1 !word<c)> ;<a (b>");
}

TEST_CASE("a comment that is not closed is an error in NISTIR 6556, section 3.3.4; for printers it runs to the end") {
  CHECK(read("G1 X1 (open Y2") == "G1 X1 ;<open Y2>");
}

TEST_CASE("parameters are not evaluated: a word with one is not read (NISTIR 6556, sections 3.3.2.2 and 3.3.3)") {
  CHECK(read("#3=6 G1 x#3") == "G1 !stray<#3=6> !word<x#3>");
  CHECK(read("#3=15 #3=6") == "unread !stray<#3=15 #3=6>");
  CHECK(read("G1 x#1+2") == "G1 !word<x#1> !stray<+2>");
  CHECK(read("x##2 y#[1+2] z3") == "Z3 !word<x##2> !word<y#[1+2]>");
}

TEST_CASE("expressions are not evaluated: a word with one is not read (NISTIR 6556, section 3.3.2.3)") {
  CHECK(read("G1 X[2.0 / 3 * 1.5 - 5.5 / 11.0] Y1") == "G1 Y1 !word<X[2.0 / 3 * 1.5 - 5.5 / 11.0]>");
  CHECK(read("G1 X[1 + acos[0] - [#3 ** [4.0/2]]]Y1") == "G1 Y1 !word<X[1 + acos[0] - [#3 ** [4.0/2]]]>");
}

TEST_CASE("functions are not evaluated: a word with one is not read (NISTIR 6556, section 3.3.2.4)") {
  CHECK(read("G1 x FIX[2.8] y fup[-2.8] z5") == "G1 Z5 !word<x FIX[2.8]> !word<y fup[-2.8]>");
  CHECK(read("G1 xatan[1.7321]/[1.0] y1") == "G1 Y1 !word<xatan[1.7321]/[1.0]>");
  CHECK(read("G1 x sqrt[3**2 + 4**2]y1") == "G1 Y1 !word<x sqrt[3**2 + 4**2]>");
}

TEST_CASE("a line whose G is an expression is left out whole (NISTIR 6556, section 3.5)") {
  CHECK(read("G[2*5] L[1+1]") == "unread !command<G[2*5] L[1+1]>");
}

TEST_CASE("words, settings and comments may change places (NISTIR 6556, section 3.3.6)") {
  CHECK(read("g40 g1 #3=15 (foo) #4=-7.0") == "G40 G1 !stray<#3=15> !stray<#4=-7.0> ;<foo>");
  CHECK(read("#4=-7.0 g1 #3=15 g40 (foo)") == "G1 G40 !stray<#4=-7.0> !stray<#3=15> ;<foo>");
  CHECK(read("(foo) #3=15 #4=-7.0 g40 g1") == "G40 G1 !stray<#3=15 #4=-7.0> ;<foo>");
}

TEST_CASE("arcs are written with a radius or a centre (NISTIR 6556, sections 3.5.3.1 and 3.5.3.2)") {
  CHECK(read("G17 G2 x 10 y 15 r 20 z 5") == "G17 G2 X10 Y15 R20 Z5");
  CHECK(read("G17 G2 x 10 y 16 i 3 j 4 z 9") == "G17 G2 X10 Y16 I3 J4 Z9");
}

TEST_CASE("a letter twice is an error in NISTIR 6556, section 3.3.5; for printers the first counts") {
  CHECK(read("X1 X2") == "X1 !repeated<X2>");
  CHECK(read("G1 X1 x") == "G1 X1 !repeated<x>");
  // Of G and M words all are handed on: which of them exclude each other is not a matter of reading.
  CHECK(read("G90 G91 X1") == "G90 G91 X1");
  CHECK(read("M3 M4 M5 M7 M8 M9") == "M3 M4 M5 M7 M8 M9");
}

TEST_CASE("a percent sign alone marks the ends of a tape; printers read on behind it (NISTIR 6556, section 3.1)") {
  CHECK(read("%") == "blank");
  CHECK(read(" % ; start") == "blank ;< start>");
  const ParsedBlock parsed = read_block("%\nG1 X1\n%\nG1 X2\nM2\nG1 X3\n");
  REQUIRE(parsed.size() == 6);
  CHECK(told(parsed.line(3)) == "G1 X2");
  CHECK(told(parsed.line(5)) == "G1 X3");
}

TEST_CASE("a line that begins with a slash is skipped (NISTIR 6556, section 2.2.2)") {
  CHECK(read("/G1 X1") == "blank");
  CHECK(read("  /G1 X1") == "blank");
}

TEST_CASE("a code counts in tenths and holds within 0.0001 of one (NISTIR 6556, section 3.3.2.1)") {
  // 10.00009 tenths are within 0.0001 of 10, 10.0005 are not.
  CHECK(read("G1.000009 X1") == "G1 X1");
  CHECK(read("G1.00005 X1") == "unread !command<G1.00005 X1>");
  CHECK(read("G59.3") == "G59.3");
  CHECK(read("M73.2 R1.0") == "M73.2 R1");
  CHECK(read("M104.05 S200") == "unread !command<M104.05 S200>");
  CHECK(read("G-1 X1") == "unread !command<G-1 X1>");
}

TEST_CASE("E, which NISTIR 6556 does not have, is a word of the printers' dialect and no exponent") {
  CHECK(read("X10E2") == "X10 E2");
  CHECK(read("G0X1Y2") == "G0 X1 Y2");
  CHECK(read("G1 X1 Y 2 E1 2") == "G1 X1 Y2 E12");
  CHECK(read("G1F4000X1.4210854715202004e-14Y120Z11.7") == "G1 F4000 X1.4210854715202004e-14 Y120 Z11.7");
}

}  // namespace beadwise::tests
