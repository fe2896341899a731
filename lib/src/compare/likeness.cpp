#include "compare/likeness.hpp"

#include <algorithm>
#include <iterator>

#include "base/lower_case.hpp"

namespace beadwise {

namespace {

// Another seam or order moves the ends of a place by some beads, another layer height by a layer.
constexpr double give_xy_mm = 2;
constexpr double give_z_mm = 0.5;

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Runs of letters and runs of digits.
std::vector<std::string> runs_of(const std::string& text) {
  std::vector<std::string> runs;
  char kind = ' ';
  for (const char c : text) {
    const char now = is_letter(c) ? 'a' : is_digit(c) ? '0' : ' ';
    if (now != ' ' && now != kind) runs.emplace_back();
    if (now != ' ') runs.back() += c;
    kind = now;
  }
  return runs;
}

/// "tips" and "tip" are one word.
std::string without_s(std::string word) {
  constexpr std::size_t shortest = 4;
  if (word.size() >= shortest && word.back() == 's') word.pop_back();
  return word;
}

void sort_once(std::vector<std::string>& words) {
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
}

bool holds_all(const std::vector<std::string>& all, const std::vector<std::string>& some) {
  return std::includes(all.begin(), all.end(), some.begin(), some.end());
}

/// Overlap over extent of two intervals, each with some give at both ends.
double likeness_of_intervals(Interval a, Interval b, double give) {
  const double overlap = std::min(a.high, b.high) - std::max(a.low, b.low) + 2 * give;
  const double extent = std::max(a.high, b.high) - std::min(a.low, b.low) + 2 * give;
  return std::max(0.0, overlap / extent);
}

Interval moved(const Places& places, int axis, double by_mm) {
  return {places.low(axis) + by_mm, places.high(axis) + by_mm};
}

double likeness_on_plate(const Places& before, const Places& after, const std::array<double, 2>& shift_mm) {
  const double x = likeness_of_intervals(moved(before, 0, shift_mm[0]), moved(after, 0, 0), give_xy_mm);
  const double y = likeness_of_intervals(moved(before, 1, shift_mm[1]), moved(after, 1, 0), give_xy_mm);
  return std::min(x, y);
}

}  // namespace

Features features_of(const Finding& finding) {
  // The first reports had no key.
  const std::vector<std::string> runs = runs_of(lower_case(finding.key.empty() ? finding.what : finding.key));
  Features features;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (is_digit(runs[i].front())) continue;
    const bool numbered = runs[i] == "tool" && i + 1 < runs.size() && is_digit(runs[i + 1].front());
    if (runs[i].size() == 1)
      features.letters.push_back(runs[i]);
    else
      features.words.push_back(numbered ? "tool " + runs[i + 1] : without_s(runs[i]));
  }
  sort_once(features.words);
  sort_once(features.letters);
  return features;
}

double likeness_of_words(const Features& a, const Features& b) {
  if (!holds_all(a.letters, b.letters) && !holds_all(b.letters, a.letters)) return 0;
  std::vector<std::string> shared;
  std::set_intersection(a.words.begin(), a.words.end(), b.words.begin(), b.words.end(), std::back_inserter(shared));
  const std::size_t all = a.words.size() + b.words.size() - shared.size();
  return all == 0 ? 1 : static_cast<double>(shared.size()) / static_cast<double>(all);
}

PlateShift plate_shift(const FileReport& before, const FileReport& after) {
  PlateShift shift;
  if (!before.job || !after.job || !before.job->bounds_x_mm || !after.job->bounds_x_mm) return shift;
  const JobFigures& a = *before.job;
  const JobFigures& b = *after.job;
  shift.low_mm = {b.bounds_x_mm->low - a.bounds_x_mm->low, b.bounds_y_mm->low - a.bounds_y_mm->low};
  shift.high_mm = {b.bounds_x_mm->high - a.bounds_x_mm->high, b.bounds_y_mm->high - a.bounds_y_mm->high};
  return shift;
}

std::optional<double> likeness_of_places(const Finding& before, const Finding& after, const PlateShift& shift) {
  const Places& a = before.places;
  const Places& b = after.places;
  if (!a.has_box() || !b.has_box()) return std::nullopt;
  const double on_plate = std::max(
      {likeness_on_plate(a, b, {0, 0}), likeness_on_plate(a, b, shift.low_mm), likeness_on_plate(a, b, shift.high_mm)});
  return std::min(on_plate, likeness_of_intervals(moved(a, 2, 0), moved(b, 2, 0), give_z_mm));
}

}  // namespace beadwise
