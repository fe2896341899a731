#include <doctest/doctest.h>

#include "beadwise/finding.hpp"

using namespace beadwise;

namespace {

Mark mark_of(double value, std::uint32_t layer = 1) {
  Mark mark;
  mark.layer = layer;
  mark.points_mm = {{0, 0}, {1, 0}};
  mark.value = value;
  return mark;
}

}  // namespace

TEST_CASE("of more marks than a finding keeps the worst stay, of equals the earlier") {
  std::vector<Mark> marks;
  for (std::uint32_t layer = 1; layer <= max_marks; ++layer) keep_mark(marks, mark_of(5, layer));
  keep_mark(marks, mark_of(5, 900));  // no worse than any: not kept
  keep_mark(marks, mark_of(4, 901));
  REQUIRE(marks.size() == max_marks);
  CHECK(marks.back().layer == max_marks);

  keep_mark(marks, mark_of(6, 902));  // the last of the equals makes room
  REQUIRE(marks.size() == max_marks);
  CHECK(marks.front().layer == 1);
  CHECK(marks[max_marks - 2].layer == max_marks - 1);
  CHECK(marks.back().layer == 902);
}

TEST_CASE("a mark of many points keeps its ends and its course") {
  Mark mark = mark_of(1);
  mark.points_mm.clear();
  for (int i = 0; i <= 1000; ++i) mark.points_mm.push_back({0.1 * i, 0});
  std::vector<Mark> marks;
  keep_mark(marks, mark);
  REQUIRE(marks.front().points_mm.size() == max_mark_points);
  CHECK(marks.front().points_mm.front()[0] == 0);
  CHECK(marks.front().points_mm.back()[0] == doctest::Approx(100));
  for (std::size_t i = 1; i < max_mark_points; ++i)
    CHECK(marks.front().points_mm[i][0] - marks.front().points_mm[i - 1][0] < 0.5);
}

TEST_CASE("a mark without points is none") {
  std::vector<Mark> marks;
  Mark mark = mark_of(1);
  mark.points_mm.clear();
  keep_mark(marks, mark);
  CHECK(marks.empty());
}
