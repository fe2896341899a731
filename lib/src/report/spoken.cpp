#include "report/spoken.hpp"

#include <fmt/format.h>

#include <cmath>

namespace beadwise {

std::string spoken(double value, int decimals) {
  if (!std::isfinite(value)) return "unknown";
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (decimals > 0) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

std::string counted(std::uint64_t count, std::string_view singular) {
  return fmt::format("{} {}{}", count, singular, count == 1 ? "" : "s");
}

std::string listed(const std::vector<std::string>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? " and " : ", ";
    text += parts[i];
  }
  return text;
}

std::string spoken_duration(double seconds) {
  if (!std::isfinite(seconds)) return "unknown";
  // Beyond this many hours a file's times are broken; no integer holds them.
  if (seconds > 1e9) return fmt::format("{:.0f} h", seconds / 3600);
  const auto whole = static_cast<std::uint64_t>(std::llround(std::max(seconds, 0.0)));
  const std::uint64_t minutes = (whole + 30) / 60;
  if (whole < 60) return fmt::format("{} s", whole);
  if (whole < 3600) return fmt::format("{} min {} s", whole / 60, whole % 60);
  return fmt::format("{} h {} min", minutes / 60, minutes % 60);
}

std::string spoken_length(double length_mm) {
  if (length_mm >= 1000) return spoken(length_mm / 1000, 2) + " m";
  return spoken(length_mm, 1) + " mm";
}

}  // namespace beadwise
