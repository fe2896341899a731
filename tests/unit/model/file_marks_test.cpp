#include "model/file_marks.hpp"

#include <doctest/doctest.h>

namespace beadwise {
namespace {

TEST_CASE("formats are known by the mark they begin with") {
  CHECK(format_by_mark("%PDF-1.7\n") == "a PDF document");
  CHECK(format_by_mark("\x89PNG\r\n") == "a PNG image");
  CHECK(format_by_mark("\n  <html>") == "a web page");
  CHECK(format_by_mark("solid crate_tag\n") == "a surface model");
}

TEST_CASE("lines of G-code carry no mark of another format") {
  CHECK_FALSE(format_by_mark("G28\n"));
  CHECK_FALSE(format_by_mark("; PK\x03\x04\n"));
  CHECK_FALSE(format_by_mark("%\nO100\n"));
  CHECK_FALSE(format_by_mark(""));
}

TEST_CASE("a few damaged bytes do not make a text binary; more than one control byte in twenty does") {
  CHECK_FALSE(kind_of_writing("G1 X10 Y10 E1\nG1 X20 Y1\x01 E2\nG1 X30 Y10 E3\n"));
  // 3 of 40 bytes
  CHECK(kind_of_writing("\x01\x02\x03" + std::string(37, 'G')) == "binary data");
  // 2 of 40 bytes: one in twenty
  CHECK(kind_of_writing("\x01\x02" + std::string(38, 'G')) != "binary data");
}

TEST_CASE("four lines of numbers in five make a list of coordinates") {
  CHECK(kind_of_writing("1,2\n3,4\n5,6\n7,8\nG28\n") == "a list of coordinates");
  CHECK(kind_of_writing("1,2\n3,4\n5,6\nG28\nG28\n") != "a list of coordinates");
  CHECK(kind_of_writing("12\n13\n14\n") != "a list of coordinates");
}

TEST_CASE("commands, comments and macros are no prose") {
  CHECK_FALSE(kind_of_writing("; please print this label for the market\nG28\n"));
  CHECK_FALSE(kind_of_writing("BENCH_START NOZZLE_HEAT=210\n"));
  CHECK_FALSE(kind_of_writing("G1 X1 Y2 E3 ; lift the nozzle up\n"));
}

}  // namespace
}  // namespace beadwise
