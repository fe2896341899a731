#include "beadwise/report.hpp"
#include "beadwise/version.hpp"
#include "report/json_value.hpp"

namespace beadwise {

namespace {

constexpr int schema_version = 1;

Json to_json(const Estimate& estimate) {
  return {{"value", json_number(estimate.value)},
          {"low", json_number(estimate.low())},
          {"high", json_number(estimate.high())}};
}

template <class Value>
Json to_json(const Setting<Value>& setting) {
  return {{"value", setting.known() ? Json(*setting) : Json(nullptr)},
          {"from", to_string(setting.from)},
          {"because", setting.because}};
}

Json to_json(const FittedRow& one) {
  return {{"line", one.row.line},
          {"flow_mm3_per_s", json_number(one.row.flow_mm3_per_s)},
          {"nozzle_c", json_number(one.row.nozzle_c)},
          {"curve_c", json_number(one.curve_c)},
          {"core_c", json_number(one.core_c)},
          {"residual_c", json_number(one.residual_c)},
          {"stands_apart", one.stands_apart}};
}

}  // namespace

std::string calibration_as_json(const Calibration& calibration) {
  const MeltZoneFit& fit = calibration.fit;
  Json rows = Json::array();
  for (const FittedRow& one : fit.rows) rows.push_back(to_json(one));
  return written({{"beadwise", version()},
                  {"schema_version", schema_version},
                  {"file", calibration.table},
                  {"confidence", 0.95},
                  {"degrees_of_freedom", fit.degrees_of_freedom},
                  {"alpha_l_mm3_per_s", to_json(fit.alpha_l_mm3_per_s)},
                  {"flow_temperature_c", to_json(fit.flow_temperature_c)},
                  {"correlation", json_number(fit.correlation)},
                  {"scatter_c", json_number(fit.scatter_c)},
                  {"inlet_c", json_number(fit.inlet_c)},
                  {"material", to_json(calibration.material)},
                  {"diffusivity_mm2_per_s", to_json(calibration.diffusivity_mm2_per_s)},
                  {"melt_zone_mm", to_json(calibration.melt_zone_mm())},
                  {"rows", rows},
                  {"profile", calibration_as_toml(calibration)}});
}

}  // namespace beadwise
