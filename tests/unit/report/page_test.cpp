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
  CHECK(page_as_text("```gcode flagged\nG1 X1 ** E2 ; `not` code\n\nG2 X0\n```\n\nAfter.\n", {}) ==
        "    G1 X1 ** E2 ; `not` code\n\n    G2 X0\n\nAfter.\n");
  CHECK(page_as_text("```\nnever closed", {}) == "    never closed\n");
}

TEST_CASE("a table that fits is a table, a wider one a list of records") {
  const std::string table = "| key | default | meaning |\n| --- | ---: | --- |\n| `note_above` | 30 | passes |\n";
  CHECK(page_as_text(table, {}) == "  key         default  meaning\n  note_above       30  passes\n");
  TextStyle narrow;
  narrow.width = 24;
  CHECK(page_as_text(table, narrow) == "  note_above\n    default: 30\n    meaning: passes\n");
}

TEST_CASE("a bar inside code does not end a cell") {
  CHECK(page_as_text("| a | b |\n|---|---|\n| `x|y` | 2 |\n", {}) == "  a    b\n  x|y  2\n");
}

TEST_CASE("an empty page is empty") { CHECK(page_as_text("", {}).empty()); }
