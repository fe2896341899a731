#include <doctest/doctest.h>

#include "beadwise/report.hpp"

using namespace beadwise;

TEST_CASE("a page's marks are gone, its paragraphs and lists wrapped") {
  TextStyle style;
  style.width = 40;
  const std::string text = page_as_text(
      "# broken-arc\n\nArcs that **cannot** be:\nthe radii of `G2` differ.\n\n## Remedy\n\n- Slice again with fewer "
      "arcs in the small curves.\n- See [the report](https://example.org).\n",
      style);
  CHECK(text ==
        "broken-arc\n"
        "Arcs that cannot be: the radii of G2\n"
        "differ.\n"
        "\n"
        "Remedy\n"
        "  - Slice again with fewer arcs in the\n"
        "    small curves.\n"
        "  - See the report\n"
        "    (https://example.org).\n");
}

TEST_CASE("code stands as it was written") {
  CHECK(page_as_text("```gcode\nG1 X1 ** E2 ; `not` code\n\nG2 X0\n```\n\nAfter.\n", {}) ==
        "    G1 X1 ** E2 ; `not` code\n\n    G2 X0\n\nAfter.\n");
  CHECK(page_as_text("```\nnever closed", {}) == "    never closed\n");
}

TEST_CASE("a table that fits is a table, a wider one a list of records") {
  const std::string table = "| key | default | meaning |\n| --- | ---: | --- |\n| `note_above` | 30 | passes |\n";
  CHECK(page_as_text(table, {}) == "  key         default  meaning\n  note_above       30  passes\n");
  TextStyle narrow;
  narrow.width = 24;
  CHECK(page_as_text(table, narrow) == "  note_above: default 30\n    meaning: passes\n");
}

TEST_CASE("of a record the short cells stand in its first line, the long ones below it") {
  const std::string table =
      "| key | default | unit | meaning | source |\n|---|---|---|---|---|\n| `force_n` | 30 | N | what the drive gear "
      "is "
      "taken to bring up before it slips | common practice |\n";
  CHECK(page_as_text(table, {}) ==
        "  force_n: default 30, unit N\n"
        "    meaning: what the drive gear is taken to bring up before it slips\n"
        "    source: common practice\n");
}

TEST_CASE("the examples of a page say what they are examples of") {
  CHECK(page_as_text("```gcode flagged\nG28\n```\n\n```gcode clean\nG28\n```\n", {}) ==
        "  Found in this:\n    G28\n\n  Nothing found in this:\n    G28\n");
}

TEST_CASE("code that is too wide has its comment below it, and a comment alone is wrapped as one") {
  TextStyle narrow;
  narrow.width = 30;
  CHECK(page_as_text("```\nG1 X30 Y10 E1 F1200 ; the second corner of the tag\n; a crate tag with one corner\n```\n",
                     narrow) ==
        "    G1 X30 Y10 E1 F1200\n      ; the second corner of\n      ; the tag\n"
        "    ; a crate tag with one\n    ; corner\n");
}

TEST_CASE("a formula stands by itself") {
  const std::string page = "The flow is\n\n    Q = A v      A in mm²\n\nin mm³/s.\n";
  CHECK(page_as_text(page, {}) == "The flow is\n\n    Q = A v      A in mm²\n\nin mm³/s.\n");
  TextStyle narrow;
  narrow.width = 24;
  CHECK(page_as_text("    Q = A v in mm³/s      A in mm²\n", narrow) == "    Q = A v in mm³/s A\n      in mm²\n");
}

TEST_CASE("a bar inside code does not end a cell") {
  CHECK(page_as_text("| a | b |\n|---|---|\n| `x|y` | 2 |\n", {}) == "  a    b\n  x|y  2\n");
}

TEST_CASE("an empty page is empty") { CHECK(page_as_text("", {}).empty()); }
