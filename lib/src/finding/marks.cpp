#include <algorithm>
#include <iterator>
#include <utility>

#include "beadwise/finding.hpp"

namespace beadwise {

namespace {

void thin_out(Mark& mark) {
  const std::size_t count = mark.points_mm.size();
  if (count <= max_mark_points) return;
  for (std::size_t i = 0; i < max_mark_points; ++i)
    mark.points_mm[i] = mark.points_mm[i * (count - 1) / (max_mark_points - 1)];
  mark.points_mm.resize(max_mark_points);
}

}  // namespace

void keep_mark(std::vector<Mark>& marks, Mark mark) {
  if (mark.points_mm.empty()) return;
  if (marks.size() >= max_marks) {
    // From behind, so that of equals the latest goes.
    const auto milder = [](const Mark& a, const Mark& b) { return a.value < b.value; };
    const auto mildest = std::min_element(marks.rbegin(), marks.rend(), milder);
    if (mildest->value >= mark.value) return;
    marks.erase(std::next(mildest).base());
  }
  thin_out(mark);
  marks.push_back(std::move(mark));
}

}  // namespace beadwise
