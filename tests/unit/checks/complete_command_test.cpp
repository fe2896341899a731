#include "checks/support/complete_command.hpp"

#include <doctest/doctest.h>

#include <string>

namespace beadwise::checks {
namespace {

TEST_CASE("a word of a motion needs its number") {
  for (const char* cut : {"G", "G1 X", "G1 X10 Y", "G1 X-", "G1 X10 Y.", "g1x", "X10 Y", "G2 X5 Y5 I", "G0 F", "N12 G"})
    CHECK_FALSE(reads_complete(cut));
}

TEST_CASE("what reads as a whole command is complete, also where digits may be missing") {
  for (const char* whole : {"G1 X1", "G1 X10.", "G1 X.5", "M84", "M104 S2", "T0", "G28", "X10 Y20", "N12"})
    CHECK(reads_complete(whole));
}

TEST_CASE("axes may be named without a number where a command only names them") {
  for (const char* whole : {"G28 X", "G28 X Y", "G28 W", "M84 X Y E", "M18 Z", "G92 E"}) CHECK(reads_complete(whole));
}

TEST_CASE("the value of an M command may not be missing") {
  for (const char* cut : {"M", "M104 S", "M109 R", "M204 P", "M220 S", "M140 S-"}) CHECK_FALSE(reads_complete(cut));
}

TEST_CASE("text, comments and names are complete however they end") {
  for (const char* whole : {"", "  ", "; and so on", "M104 S0 ; off", "M117 printi", "G1 X10 (the e", "@pau",
                            "BENCH_EN", "%", "/G1 X", "A b c"})
    CHECK(reads_complete(whole));
  CHECK(reads_complete("SET_FAN SPEED=1"));
  CHECK_FALSE(reads_complete("SET_FAN SPEED="));
}

TEST_CASE("a checksum that was cut does not match") {
  // XOR of the bytes of `N1 G28` is 18 (common practice of serial lines)
  CHECK(reads_complete("N1 G28*18"));
  CHECK_FALSE(reads_complete("N1 G28*1"));
  CHECK_FALSE(reads_complete("N1 G28*"));
}

TEST_CASE("of a line longer than what is kept of it nothing is claimed") {
  CHECK(reads_complete("G1 X10" + std::string(194, ' ')));
  CHECK_FALSE(reads_complete("G1 X" + std::string(150, ' ')));
}

TEST_CASE("a bare command may be half of another one that jobs end with") {
  for (const char* half : {"M1", "M10", "M14", "m14 ", "G9", "M8", "M3"}) CHECK(may_be_half_a_command(half));
  for (const char* whole : {"M104", "M84", "M9001", "M14 S0", "M", "", "BENCH_END"})
    CHECK_FALSE(may_be_half_a_command(whole));
}

TEST_CASE("a file is cut in its last line only where that line has no end") {
  JobSummary job;
  job.figures.lines = 7;
  job.last_text_line = 7;
  job.last_text = "G1 X10 Y";
  CHECK(cut_line(job) == 0);
  job.ends_inside_line = true;
  CHECK(cut_line(job) == 7);
  // The last line holds blanks alone; the one before it has its end.
  job.figures.lines = 8;
  CHECK(cut_line(job) == 0);
}

}  // namespace
}  // namespace beadwise::checks
