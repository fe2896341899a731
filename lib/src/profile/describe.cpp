#include <fmt/format.h>

#include "beadwise/profile.hpp"
#include "profile/keys.hpp"
#include "profile/toml_text.hpp"

namespace beadwise {

namespace {

template <class Table>
void describe_table(std::string_view name, std::span<const Key<Table>> keys, const Table& table,
                    std::vector<ProfileValue>& values) {
  for (const auto& key : keys) {
    std::visit(
        [&](auto member) {
          const auto& setting = table.*member;
          values.push_back({fmt::format("{}.{}", name, key.name), setting.known() ? toml_text(*setting) : "",
                            setting.from, setting.because});
        },
        key.member);
  }
}

void describe_check(std::string_view name, const CheckProfile& check, std::vector<ProfileValue>& values) {
  const auto stated = [&](std::string_view key, std::string value) {
    values.push_back({fmt::format("checks.{}.{}", name, key), std::move(value), check.from, check.stated_at});
  };
  if (check.off) stated("off", "true");
  if (check.severity) stated("severity", toml_text(std::string(to_string(*check.severity))));
  for (const auto& [key, limit] : check.limits) {
    values.push_back({fmt::format("checks.{}.{}", name, key), toml_text(*limit), limit.from, limit.because});
  }
}

}  // namespace

std::vector<ProfileValue> describe(const Profile& profile) {
  std::vector<ProfileValue> values;
  describe_table("machine", machine_keys(), profile.machine, values);
  describe_table("filament", filament_keys(), profile.filament, values);
  for (const auto& [name, check] : profile.checks) describe_check(name, check, values);
  return values;
}

}  // namespace beadwise
