#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "beadwise/compare.hpp"
#include "compare/json_node.hpp"

namespace beadwise {

namespace {

constexpr std::uint64_t schema_version = 1;
constexpr std::size_t most_files = 100'000;
constexpr std::size_t most_checks = 10'000;
// More than the checks together give for any one job.
constexpr std::size_t most_findings = 2000;
constexpr std::size_t most_objects = 100'000;

template <class Value, class Read>
std::optional<Value> unless_null(const JsonNode& node, Read read) {
  if (node.is_null()) return std::nullopt;
  return read(node);
}

std::optional<std::string> text_or_null(const JsonNode& node) {
  return unless_null<std::string>(node, [](const JsonNode& text) { return text.text(); });
}

std::optional<double> number_or_null(const JsonNode& node) {
  return unless_null<double>(node, [](const JsonNode& number) { return number.number(); });
}

Interval pair(const JsonNode& node) {
  if (node.items(2) != 2) node.refuse("must have two numbers");
  return {node.item(0).number(), node.item(1).number()};
}

std::optional<Interval> min_max(const JsonNode& node) {
  return unless_null<Interval>(node, [](const JsonNode& range) {
    return Interval{range.at("min").number(), range.at("max").number()};
  });
}

void read_bounds(const JsonNode& node, JobFigures& job) {
  if (node.is_null()) return;
  job.bounds_x_mm = pair(node.at("x"));
  job.bounds_y_mm = pair(node.at("y"));
  job.bounds_z_mm = pair(node.at("z"));
}

JobFigures figures(const JsonNode& node) {
  JobFigures job;
  const auto count = [&](std::string_view key, std::uint64_t& into) { into = node.at(key).count(); };
  const auto number = [&](std::string_view key, double& into) { into = number_or_null(node.at(key)).value_or(0); };
  count("bytes", job.bytes);
  count("lines", job.lines);
  count("moves", job.moves);
  count("extruding_moves", job.extruding_moves);
  count("travel_moves", job.travel_moves);
  count("retractions", job.retractions);
  count("layers", job.layers);
  count("max_gear_passes", job.max_gear_passes);
  number("filament_fed_mm", job.filament_fed_mm);
  number("deposited_mm3", job.deposited_mm3);
  number("extruding_path_mm", job.extruding_path_mm);
  number("travel_path_mm", job.travel_path_mm);
  number("duration_s", job.duration_s);
  number("peak_flow_mm3_per_s", job.peak_flow_mm3_per_s);
  number("head_path_mm", job.head_path_mm);
  read_bounds(node.at("bounds_mm"), job);
  job.nozzle_c = min_max(node.at("nozzle_c"));
  job.bed_c = min_max(node.at("bed_c"));
  job.filament_mass_g = number_or_null(node.at("filament_mass_g"));
  if (const auto core = node.find("core_c_min")) job.core_c_min = number_or_null(*core);
  if (const auto force = node.find("feed_force_n")) job.feed_force_n = number_or_null(*force);
  return job;
}

Origin origin(const JsonNode& node) {
  const std::string name = node.text();
  for (const Origin one : {Origin::built_in, Origin::file, Origin::profile, Origin::command_line})
    if (to_string(one) == name) return one;
  node.refuse("is no origin that this program knows");
}

std::optional<Measured> measured(const JsonNode& node) {
  return unless_null<Measured>(node, [](const JsonNode& found) {
    return Measured{.value = number_or_null(found.at("value")).value_or(0),
                    .limit = number_or_null(found.at("limit")).value_or(0),
                    .unit = found.at("unit").text(),
                    .limit_from = origin(found.at("limit_from"))};
  });
}

std::uint32_t layer(const JsonNode& node) {
  return static_cast<std::uint32_t>(std::min<std::uint64_t>(node.count(), UINT32_MAX));
}

Place place(const JsonNode& node) {
  Place place;
  if (const JsonNode line = node.at("line"); !line.is_null()) place.line = line.count();
  if (const JsonNode number = node.at("layer"); !number.is_null()) place.layer = layer(number);
  place.value = number_or_null(node.at("value")).value_or(0);
  const JsonNode at = node.at("at_mm");
  if (at.is_null()) return place;
  if (at.items(3) != 3) at.refuse("must have three numbers");
  place.x_mm = at.item(0).number();
  place.y_mm = at.item(1).number();
  place.z_mm = at.item(2).number();
  place.has_position = true;
  return place;
}

Places places(const JsonNode& finding) {
  PlacesSpan span;
  span.count = finding.at("count").count();
  if (const JsonNode lines = finding.at("lines"); !lines.is_null()) {
    span.first_line = lines.at("first").count();
    span.last_line = lines.at("last").count();
  }
  if (const JsonNode layers = finding.at("layers"); !layers.is_null()) {
    span.first_layer = layer(layers.at("first"));
    span.last_layer = layer(layers.at("last"));
  }
  if (const JsonNode box = finding.at("box_mm"); !box.is_null()) {
    span.has_box = true;
    constexpr std::array<std::string_view, 3> axes = {"x", "y", "z"};
    for (std::size_t axis = 0; axis < axes.size(); ++axis) {
      const Interval extent = pair(box.at(axes.at(axis)));
      span.low_mm.at(axis) = extent.low;
      span.high_mm.at(axis) = extent.high;
    }
  }
  std::vector<Place> worst;
  const JsonNode list = finding.at("places");
  const std::size_t count = list.items(max_places);
  for (std::size_t i = 0; i < count; ++i) worst.push_back(place(list.item(i)));
  return {span, worst};
}

std::vector<Symptom> symptoms(const JsonNode& list) {
  std::vector<Symptom> known;
  const std::size_t count = list.items(all_symptoms.size());
  for (std::size_t i = 0; i < count; ++i) {
    const std::string name = list.item(i).text();
    for (const Symptom symptom : all_symptoms)
      if (to_string(symptom) == name) known.push_back(symptom);
  }
  return known;
}

std::optional<Acceptance> accepted(const JsonNode& node) {
  return unless_null<Acceptance>(node, [](const JsonNode& known) {
    Acceptance acceptance;
    acceptance.because = text_or_null(known.at("because")).value_or("");
    acceptance.from = known.at("from").text();
    acceptance.in_profile = !acceptance.because.empty();
    return acceptance;
  });
}

Finding finding(const JsonNode& node) {
  Finding found;
  found.check = node.at("check").text();
  found.severity = node.at("severity").severity();
  found.symptoms = symptoms(node.at("symptoms"));
  found.what = node.at("what").text();
  found.why = node.at("why").text();
  found.remedy = node.at("remedy").text();
  found.measured = measured(node.at("measured"));
  found.places = places(node);
  found.fingerprint = node.at("fingerprint").text();
  // The first reports had none of these.
  if (const auto key = node.find("key")) found.key = key->text();
  if (const auto known = node.find("accepted")) found.accepted = accepted(*known);
  if (const auto objects = node.find("objects")) {
    const std::size_t count = objects->items(most_objects);
    for (std::size_t i = 0; i < count; ++i) found.objects.push_back(layer(objects->item(i)));
  }
  return found;
}

CheckState check_state(const JsonNode& node) {
  CheckState state;
  state.check = node.at("check").text();
  state.ran = node.at("state").text() == "ran";
  state.because = text_or_null(node.at("because"));
  state.findings = node.at("findings").count();
  return state;
}

FileReport report(const JsonNode& node) {
  FileReport report;
  report.file = node.at("file").text();
  report.sha256 = text_or_null(node.at("sha256")).value_or("");
  report.failure = text_or_null(node.at("failure"));
  if (const JsonNode job = node.at("job"); !job.is_null()) report.job = figures(job);
  const JsonNode checks = node.at("checks");
  const std::size_t check_count = checks.items(most_checks);
  for (std::size_t i = 0; i < check_count; ++i) report.checks.push_back(check_state(checks.item(i)));
  const JsonNode findings = node.at("findings");
  const std::size_t finding_count = findings.items(most_findings);
  for (std::size_t i = 0; i < finding_count; ++i) report.findings.push_back(finding(findings.item(i)));
  return report;
}

void refuse_other_files(const JsonNode& root) {
  const std::optional<JsonNode> version = root.find("schema_version");
  if (!version || !root.find("beadwise")) root.refuse("is no report: write one with beadwise check --format json");
  if (version->count() != schema_version)
    version->refuse(fmt::format("is {}, from beadwise {}; this program reads {}", version->count(),
                                root.at("beadwise").text(), schema_version));
}

}  // namespace

bool begins_as_report(std::string_view bytes) {
  constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
  if (bytes.starts_with(byte_order_mark)) bytes.remove_prefix(byte_order_mark.size());
  for (const char expected : {'{', '"'}) {
    const std::size_t at = bytes.find_first_not_of(" \t\r\n");
    if (at == std::string_view::npos || bytes[at] != expected) return false;
    bytes.remove_prefix(at + 1);
  }
  return true;
}

std::vector<FileReport> reports_from_json(std::string_view bytes, std::string_view name) {
  const JsonDocument document = read_json(bytes, name, ErrorKind::file, max_report_bytes);
  const JsonNode root(document);
  refuse_other_files(root);
  std::vector<FileReport> reports;
  const JsonNode files = root.at("files");
  const std::size_t count = files.items(most_files);
  for (std::size_t i = 0; i < count; ++i) reports.push_back(report(files.item(i)));
  if (reports.empty()) files.refuse("is empty: there is nothing to compare with");
  return reports;
}

}  // namespace beadwise
