#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "sample_report.hpp"

using namespace beadwise;
using Json = nlohmann::ordered_json;

namespace {

FileReport report_with_parts() {
  FileReport report = sample_report();
  LayerFigures layer;
  layer.layer = 1;
  layer.z_mm = 0.2;
  layer.height_mm = 0.2;
  layer.duration_s = 12.34;
  layer.beads = 70;
  report.layers = {layer};
  ObjectFigures object;
  object.object = 1;
  object.x_mm = {10, 30};
  object.z_mm = {0.2, 8.4};
  object.first_layer = 1;
  object.last_layer = 42;
  report.objects = {object};
  return report;
}

std::size_t commas(std::string_view text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), ','));
}

}  // namespace

TEST_CASE("a table of jobs has a head and one row per file, each with all columns") {
  std::vector<FileReport> reports = {sample_report(), FileReport{}};
  reports[0].file = "row \"7\", west.gcode";
  reports[1].file = "lost.gcode";
  reports[1].failure = "There is no such file.";
  const std::string csv = measure_as_csv(reports, Per::job);
  const std::size_t first = csv.find('\n');
  const std::size_t second = csv.find('\n', first + 1);
  const std::string head = csv.substr(0, first);
  CHECK(head.starts_with("file,sha256,failure,bytes,lines,moves,extruding_moves,"));
  CHECK(csv.substr(first + 1).starts_with("\"row \"\"7\"\", west.gcode\","));
  const std::string lost = csv.substr(second + 1);
  CHECK(lost.starts_with("lost.gcode,,There is no such file.,,"));
  CHECK(commas(lost) == commas(head));
  CHECK(commas(csv.substr(first + 1, second - first - 1)) == commas(head) + 1);  // one stands in the file's name
}

TEST_CASE("tables of layers and objects name the file in each row") {
  const FileReport report = report_with_parts();
  const std::string layers = measure_as_csv(std::span(&report, 1), Per::layer);
  CHECK(layers.starts_with("file,layer,z_mm,height_mm,"));
  CHECK(layers.find("\nrow-labels.gcode,1,0.2,0.2,0.0,12.34,") != std::string::npos);
  const std::string objects = measure_as_csv(std::span(&report, 1), Per::object);
  CHECK(objects.find("\nrow-labels.gcode,1,10.0,30.0,") != std::string::npos);
}

TEST_CASE("measure as JSON has the parts that were asked for") {
  const FileReport report = report_with_parts();
  const Json job = Json::parse(measure_as_json(std::span(&report, 1), Per::job))["files"][0];
  CHECK(job["job"]["filament_fed_mm"] == 3420.5);
  CHECK(job["job"]["bounds_mm"]["y"] == Json({20.0, 100.5}));
  CHECK(job["job"]["head_reversals"]["x"] == 0);
  CHECK_FALSE(job.contains("layers"));
  const Json layers = Json::parse(measure_as_json(std::span(&report, 1), Per::layer))["files"][0]["layers"];
  REQUIRE(layers.size() == 1);
  CHECK(layers[0]["duration_s"] == 12.34);
  const Json objects = Json::parse(measure_as_json(std::span(&report, 1), Per::object))["files"][0]["objects"];
  REQUIRE(objects.size() == 1);
  CHECK(objects[0]["bounds_mm"]["x"] == Json({10.0, 30.0}));
}

TEST_CASE("measure as text tells figures with units and leaves out what is not known") {
  const FileReport report = report_with_parts();
  const std::string text = measure_as_text(std::span(&report, 1), Per::job, {});
  CHECK(text.find("  filament fed                   3420.5 mm\n") != std::string::npos);
  CHECK(text.find("  duration                       4325 s (1 h 12 min)\n") != std::string::npos);
  CHECK(text.find("bed set") == std::string::npos);
  const std::string layers = measure_as_text(std::span(&report, 1), Per::layer, {});
  CHECK(layers.find("12.3") != std::string::npos);
  const std::string objects = measure_as_text(std::span(&report, 1), Per::object, {});
  CHECK(objects.find("10 to 30") != std::string::npos);
}

TEST_CASE("a job without beads has no table of layers") {
  FileReport report = sample_report();
  report.job->layers = 0;
  CHECK(measure_as_text(std::span(&report, 1), Per::layer, {}).find("No bead is laid.") != std::string::npos);
}
