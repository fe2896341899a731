#include <fmt/format.h>

#include <algorithm>

#include "beadwise/report.hpp"
#include "beadwise/version.hpp"
#include "report/json_value.hpp"
#include "report/paint.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr int schema_version = 1;

/// The TOML of a number, a truth or a list of numbers is JSON as well; whatever is not stays text.
Json value_of(const std::string& toml) {
  if (toml.empty()) return nullptr;
  Json value = Json::parse(toml, nullptr, false);
  return value.is_discarded() ? Json(toml) : value;
}

Tone tone_of(const ProfileValue& value) { return value.value.empty() ? Tone::faint : Tone::strong; }

}  // namespace

std::string profile_as_text(std::string_view file, std::span<const ProfileValue> values, const TextStyle& style) {
  std::size_t key_columns = 0;
  for (const ProfileValue& value : values) key_columns = std::max(key_columns, columns_of(value.key));
  std::string out = painted("Values in use for " + shown(file), Tone::strong, style.color) + "\n\n";
  for (const ProfileValue& value : values) {
    const std::string shown_value = value.value.empty() ? "unknown" : shown(value.value);
    const std::string origin = value.value.empty() ? "" : fmt::format("  ({})", to_string(value.from));
    out += fmt::format("{}  {}{}\n", left_aligned(value.key, key_columns),
                       painted(shown_value, tone_of(value), style.color), origin);
    if (!value.because.empty()) out += hanging("    ", shown(value.because), style.width);
  }
  return out;
}

std::string profile_as_json(std::string_view file, std::span<const ProfileValue> values) {
  Json list = Json::array();
  for (const ProfileValue& value : values) {
    list.push_back({{"key", value.key},
                    {"value", value_of(value.value)},
                    {"from", to_string(value.from)},
                    {"because", value.because}});
  }
  return written({{"beadwise", version()}, {"schema_version", schema_version}, {"file", file}, {"values", list}});
}

}  // namespace beadwise
