#include <fmt/format.h>

#include "beadwise/report.hpp"
#include "beadwise/version.hpp"
#include "report/json_value.hpp"
#include "report/paint.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr int schema_version = 1;

template <class Values>
std::vector<std::string> names_of(const Values& values) {
  std::vector<std::string> names;
  names.reserve(values.size());
  for (const auto value : values) names.emplace_back(to_string(value));
  return names;
}

Json limits_of(const Description& description) {
  Json limits = Json::array();
  for (const Threshold& limit : description.thresholds) {
    limits.push_back({{"key", limit.key},
                      {"built_in", json_number(limit.built_in)},
                      {"unit", limit.unit},
                      {"meaning", limit.meaning},
                      {"source", limit.source}});
  }
  return limits;
}

}  // namespace

std::string checks_as_text(std::span<const RegisteredCheck> checks, const TextStyle& style) {
  std::string out;
  for (const RegisteredCheck& check : checks) {
    const Description& description = check.describe();
    const std::string symptoms = fmt::format("{}", fmt::join(names_of(description.symptoms), ", "));
    const std::string rest = fmt::format(" ({}){}{}", fmt::join(names_of(description.severities), ", "),
                                         symptoms.empty() ? "" : ": ", symptoms);
    std::string entry = hanging("", std::string(check.name) + rest, style.width);
    entry.replace(0, check.name.size(), painted(check.name, Tone::strong, style.color));
    out += entry + hanging("    ", shown(summary_of(check)), style.width);
  }
  return out;
}

std::string checks_as_json(std::span<const RegisteredCheck> checks) {
  Json list = Json::array();
  for (const RegisteredCheck& check : checks) {
    const Description& description = check.describe();
    list.push_back({{"check", check.name},
                    {"severities", names_of(description.severities)},
                    {"symptoms", names_of(description.symptoms)},
                    {"summary", summary_of(check)},
                    {"limits", limits_of(description)}});
  }
  return written({{"beadwise", version()}, {"schema_version", schema_version}, {"checks", list}});
}

}  // namespace beadwise
