#include "beadwise/version.hpp"
#include "report/json_assumptions.hpp"
#include "report/json_figures.hpp"
#include "report/json_value.hpp"

namespace beadwise {

namespace {

constexpr int schema_version = 1;

template <class Figures>
Json list(const std::vector<Figures>& all) {
  Json rows = Json::array();
  for (const Figures& one : all) rows.push_back(to_json(one));
  return rows;
}

}  // namespace

std::string measure_as_json(std::span<const FileReport> reports, Per per) {
  Json files = Json::array();
  for (const FileReport& report : reports) {
    Json file = {{"file", report.file},
                 {"sha256", report.sha256.empty() ? Json(nullptr) : Json(report.sha256)},
                 {"failure", json_text(report.failure)},
                 {"assumptions", to_json(report.assumptions)},
                 {"job", report.job ? to_json(*report.job) : Json(nullptr)}};
    if (per == Per::layer) file["layers"] = list(report.layers);
    if (per == Per::object) file["objects"] = list(report.objects);
    files.push_back(std::move(file));
  }
  return written({{"beadwise", version()}, {"schema_version", schema_version}, {"files", files}});
}

}  // namespace beadwise
