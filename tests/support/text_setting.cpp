#include "support/text_setting.hpp"

#include <cmath>
#include <numbers>

namespace beadwise::tests {

namespace {

constexpr double quarter_turn_rad = std::numbers::pi / 2;

std::vector<std::string_view> lines_of(std::string_view text) {
  std::vector<std::string_view> lines;
  for (std::size_t start = 0; start <= text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    lines.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  return lines;
}

PlanePoint ahead(PlanePoint from, double angle_rad, double mm) {
  return {from.x + mm * std::cos(angle_rad), from.y + mm * std::sin(angle_rad)};
}

Placement on_straight(const TextSetting& setting, double angle_rad, std::size_t line, double start_mm) {
  const double across_mm = -setting.line_pitch_mm * static_cast<double>(line);
  const PlanePoint line_start = ahead(setting.at, angle_rad + quarter_turn_rad, across_mm);
  return {ahead(line_start, angle_rad, setting.mirrored ? -start_mm : start_mm), angle_rad, setting.mirrored};
}

/// Letters stand upright on the circle: the middle of each on its own radius.
Placement on_circle(const TextSetting& setting, double angle_rad, std::size_t line, double from_middle_mm,
                    double half_width_mm) {
  const double radius_mm = setting.circle_radius_mm - setting.line_pitch_mm * static_cast<double>(line);
  const double turn_rad = (setting.mirrored ? 1 : -1) * (from_middle_mm + half_width_mm) / radius_mm;
  const double upright_rad = angle_rad + turn_rad;
  const PlanePoint middle = ahead(setting.at, upright_rad + quarter_turn_rad, radius_mm);
  return {ahead(middle, upright_rad, setting.mirrored ? half_width_mm : -half_width_mm), upright_rad, setting.mirrored};
}

}  // namespace

Placement::Placement(PlanePoint origin, double angle_rad, bool mirrored)
    : origin_(origin), cosine_(std::cos(angle_rad)), sine_(std::sin(angle_rad)), sideways_(mirrored ? -1 : 1) {}

PlanePoint Placement::operator()(PlanePoint place) const {
  const double x = sideways_ * place.x;
  return {origin_.x + cosine_ * x - sine_ * place.y, origin_.y + sine_ * x + cosine_ * place.y};
}

Region Placement::operator()(Region region) const {
  for (Area& area : region) {
    for (PlanePoint& corner : area.outer) corner = (*this)(corner);
    for (Outline& hole : area.holes)
      for (PlanePoint& corner : hole) corner = (*this)(corner);
  }
  return united({region});
}

std::vector<PlacedGlyph> set_text(std::string_view text, const std::function<double(char)>& advance_mm,
                                  const TextSetting& setting) {
  const double angle_rad = setting.angle_deg * std::numbers::pi / 180;
  std::vector<PlacedGlyph> placed;
  const std::vector<std::string_view> lines = lines_of(text);
  for (std::size_t line = 0; line < lines.size(); ++line) {
    double width_mm = -setting.letter_gap_mm;
    for (const char character : lines[line]) width_mm += advance_mm(character) + setting.letter_gap_mm;
    double start_mm = 0;
    for (const char character : lines[line]) {
      const double advance = advance_mm(character);
      const Placement placement = setting.circle_radius_mm > 0
                                      ? on_circle(setting, angle_rad, line, start_mm - width_mm / 2, advance / 2)
                                      : on_straight(setting, angle_rad, line, start_mm);
      if (character != ' ') placed.push_back({character, line, placement});
      start_mm += advance + setting.letter_gap_mm;
    }
  }
  return placed;
}

}  // namespace beadwise::tests
