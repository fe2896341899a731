#include "report/json_value.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

constexpr std::size_t line_columns = 110;

std::string dumped(const Json& value) { return value.dump(-1, ' ', false, Json::error_handler_t::replace); }

/// Compact, but with a blank after each comma and colon that stands outside strings.
std::string on_one_line(const Json& value) {
  const std::string tight = dumped(value);
  std::string airy;
  airy.reserve(tight.size() + tight.size() / 8);
  bool in_string = false;
  for (std::size_t i = 0; i < tight.size(); ++i) {
    const char character = tight[i];
    airy += character;
    if (in_string && character == '\\') {
      airy += tight[++i];
    } else if (character == '"') {
      in_string = !in_string;
    } else if (!in_string && (character == ',' || character == ':')) {
      airy += ' ';
    }
  }
  return airy;
}

/// The value takes so many columns on one line, or more. Counts no further than a line.
std::size_t least_columns(const Json& value) {
  if (value.is_string()) return value.get_ref<const std::string&>().size() + 2;
  if (!value.is_structured()) return 1;
  std::size_t columns = 0;
  for (auto part = value.begin(); part != value.end() && columns <= line_columns; ++part)
    columns += 2 + least_columns(*part) + (value.is_object() ? part.key().size() + 4 : 0);
  return columns;
}

void write(const Json& value, std::size_t depth, std::string& out) {
  if (!value.is_structured() || least_columns(value) + 2 * depth <= line_columns) {
    const std::string line = on_one_line(value);
    if (!value.is_structured() || line.size() + 2 * depth <= line_columns) {
      out += line;
      return;
    }
  }
  const std::string indent(2 * (depth + 1), ' ');
  out += value.is_object() ? "{\n" : "[\n";
  bool first = true;
  for (const auto& [key, part] : value.items()) {
    if (!first) out += ",\n";
    first = false;
    out += indent;
    if (value.is_object()) out += dumped(Json(key)) + ": ";
    write(part, depth + 1, out);
  }
  out += '\n' + std::string(2 * depth, ' ') + (value.is_object() ? '}' : ']');
}

}  // namespace

Json json_number(double value) {
  if (!std::isfinite(value)) return nullptr;
  // Lengths below 1e-9 mm count as none (docs/figures.md); so do the residues of sums.
  if (std::abs(value) < 1e-9) return 0.0;
  constexpr int decimals = 6;
  constexpr int digits = 9;
  const int whole_digits = static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
  const int kept = std::max(decimals, digits - whole_digits);
  const double scale = std::pow(10.0, kept);
  const double scaled = value * scale;
  if (std::abs(scaled) >= 9007199254740992.0) return value;  // 2^53: nothing is left to round
  return std::round(scaled) / scale;
}

Json json_pair(double low, double high) { return Json::array({json_number(low), json_number(high)}); }

Json json_min_max(const std::optional<Interval>& interval) {
  if (!interval) return nullptr;
  return {{"min", json_number(interval->low)}, {"max", json_number(interval->high)}};
}

Json json_text(const std::optional<std::string>& text) { return text ? Json(*text) : Json(nullptr); }

std::string written(const Json& value) {
  std::string out;
  write(value, 0, out);
  out += '\n';
  return out;
}

}  // namespace beadwise
