#include "report/json_assumptions.hpp"

namespace beadwise {

namespace {

struct ValueAsJson {
  Json operator()(double value) const { return json_number(value); }
  Json operator()(const std::string& value) const { return value; }
  Json operator()(bool value) const { return value; }
  Json operator()(const Range& value) const { return json_pair(value.low, value.high); }
};

}  // namespace

Json to_json(std::span<const Assumption> assumptions) {
  Json list = Json::array();
  for (const Assumption& assumption : assumptions) {
    list.push_back({{"key", assumption.key},
                    {"value", std::visit(ValueAsJson{}, assumption.value)},
                    {"from", to_string(assumption.from)},
                    {"because", assumption.because}});
  }
  return list;
}

}  // namespace beadwise
