#include "report/json_finding.hpp"

#include <algorithm>

namespace beadwise {

namespace {

Json measured(const std::optional<Measured>& measured) {
  if (!measured) return nullptr;
  return {{"value", json_number(measured->value)},
          {"limit", json_number(measured->limit)},
          {"unit", measured->unit},
          {"limit_from", to_string(measured->limit_from)}};
}

template <class Number>
Json span_or_null(Number first, Number last) {
  if (first == 0) return nullptr;
  return {{"first", first}, {"last", last}};
}

Json box(const Places& places) {
  if (!places.has_box()) return nullptr;
  return {{"x", json_pair(places.low(0), places.high(0))},
          {"y", json_pair(places.low(1), places.high(1))},
          {"z", json_pair(places.low(2), places.high(2))}};
}

Json accepted(const std::optional<Acceptance>& acceptance) {
  if (!acceptance) return nullptr;
  return {{"because", acceptance->because.empty() ? Json(nullptr) : Json(acceptance->because)},
          {"from", acceptance->from}};
}

}  // namespace

Json to_json(const Place& place) {
  Json at = nullptr;
  if (place.has_position) {
    at = Json::array({json_number(place.x_mm), json_number(place.y_mm), json_number(place.z_mm)});
  }
  return {{"line", place.line == 0 ? Json(nullptr) : Json(place.line)},
          {"layer", place.layer == 0 ? Json(nullptr) : Json(place.layer)},
          {"at_mm", at},
          {"value", json_number(place.value)}};
}

Json to_json(const Finding& found) {
  Json symptoms = Json::array();
  for (const Symptom symptom : found.symptoms) symptoms.push_back(to_string(symptom));
  Json places = Json::array();
  for (const Place& worst : found.places.worst()) places.push_back(to_json(worst));
  return {{"check", found.check},
          {"severity", to_string(found.severity)},
          {"symptoms", symptoms},
          {"what", found.what},
          {"why", found.why},
          {"remedy", found.remedy},
          {"measured", measured(found.measured)},
          {"count", std::max<std::uint64_t>(found.places.count(), 1)},
          {"lines", span_or_null(found.places.first_line(), found.places.last_line())},
          {"layers", span_or_null(found.places.first_layer(), found.places.last_layer())},
          {"box_mm", box(found.places)},
          {"places", places},
          {"objects", found.objects},
          {"fingerprint", found.fingerprint},
          {"key", found.key},
          {"accepted", accepted(found.accepted)}};
}

}  // namespace beadwise
