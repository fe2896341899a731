// Sliced files of other people, none of them in the repository: a folder named by BEADWISE_REAL, or one beside the
// clone.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <numbers>

#include "beadwise/analyse.hpp"
#include "property/filament_ledger.hpp"
#include "support/files.hpp"

namespace beadwise::tests {
namespace {

std::vector<std::filesystem::path> real_files() {
  const char* named = std::getenv("BEADWISE_REAL");
  const std::filesystem::path beside = source_folder().parent_path() / "shared" / "real";
  return files_below(named != nullptr ? std::filesystem::path(named) : beside, {".gcode", ".gco", ".g"});
}

bool none() { return real_files().empty(); }

void check_finite(const nlohmann::ordered_json& value, const std::string& path) {
  if (value.is_number_float()) {
    INFO(path);
    CHECK(std::isfinite(value.get<double>()));
  }
  if (!value.is_structured()) return;
  for (const auto& [key, inner] : value.items()) check_finite(inner, path + '/' + key);
}

/// The cross-section that the report's volumes stand on; nothing where E is no length of filament.
std::optional<double> filament_mm2(const FileReport& report) {
  double diameter_mm = 1.75;
  for (const Assumption& one : report.assumptions) {
    if (one.key == "machine.e_unit" && std::holds_alternative<std::string>(one.value) &&
        std::get<std::string>(one.value) != "mm")
      return std::nullopt;
    if (one.key == "machine.filament_diameter_mm") diameter_mm = std::get<double>(one.value);
  }
  return std::numbers::pi * diameter_mm * diameter_mm / 4;
}

bool is_print(const FileReport& report) {
  return report.job && std::none_of(report.findings.begin(), report.findings.end(),
                                    [](const Finding& one) { return one.check == "not-a-print"; });
}

TEST_CASE("real files: each gets an answer without a figure that is no number" * doctest::skip(none())) {
  for (const std::filesystem::path& path : real_files()) {
    INFO(path.filename().string());
    AnalyseOptions options;
    options.per_layer = true;
    options.per_object = true;
    const FileReport report = analyse(Source::file(path), options);
    CHECK(report.failure.has_value() == (std::filesystem::file_size(path) == 0));
    check_finite(nlohmann::ordered_json::parse(check_as_json({&report, 1})), "check");
    for (const Per per : {Per::job, Per::layer, Per::object})
      check_finite(nlohmann::ordered_json::parse(measure_as_json({&report, 1}, per)), "measure");
    CHECK(!check_as_text({&report, 1}, {}).empty());
    for (const Finding& finding : report.findings) CHECK(finding.places.worst().size() <= max_places);
  }
}

TEST_CASE("real files: filament is kept" * doctest::skip(none())) {
  int reckoned = 0;
  for (const std::filesystem::path& path : real_files()) {
    INFO(path.filename().string());
    const auto ledger = reckon_filament(read_file(path));
    if (!ledger) continue;
    const FileReport report = analyse(Source::file(path), {});
    const auto area_mm2 = filament_mm2(report);
    if (!is_print(report) || !area_mm2) continue;
    ++reckoned;
    CHECK(std::fabs(report.job->filament_fed_mm - ledger->highest_fed_mm) <= 1e-4 + 1e-9 * ledger->highest_fed_mm);
    CHECK(std::fabs(report.job->deposited_mm3 / *area_mm2 - ledger->in_beads_mm) <= 1e-4 + 1e-9 * ledger->in_beads_mm);
    CHECK(std::fabs(ledger->forward_mm - ledger->in_beads_mm - ledger->standing_mm) <=
          1e-4 + 1e-9 * ledger->forward_mm);
  }
  MESSAGE(reckoned, " files reckoned by hand");
}

}  // namespace
}  // namespace beadwise::tests
