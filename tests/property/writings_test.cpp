// One print, written or read in another way, gives the same answer.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "beadwise/analyse.hpp"
#include "property/alike.hpp"
#include "property/orchard_plate.hpp"
#include "support/files.hpp"
#include "support/gzip.hpp"

namespace beadwise::tests {
namespace {

constexpr std::uint64_t seeds = 24;

FileReport report_of(const std::string& gcode, const AnalyseOptions& options = {}) {
  AnalyseOptions with_parts = options;
  with_parts.per_layer = true;
  with_parts.per_object = true;
  return analyse(Source::memory("plate.gcode", gcode), with_parts);
}

AnalyseOptions in_blocks_of(std::size_t bytes) {
  AnalyseOptions options;
  options.block_bytes = bytes;
  return options;
}

AnalyseOptions with_threads(unsigned threads) {
  AnalyseOptions options;
  options.threads = threads;
  return options;
}

/// Everything that is said about a file, as bytes.
std::string answer(const FileReport& report) {
  return check_as_json({&report, 1}) + measure_as_json({&report, 1}, Per::layer) +
         measure_as_json({&report, 1}, Per::object);
}

/// Sentences may name the size of the file, which another writing changes.
nlohmann::ordered_json but_for_size(std::string text, const FileReport& report) {
  const std::string size = std::to_string(report.job->bytes) + " bytes";
  for (std::size_t at = text.find(size); at != std::string::npos; at = text.find(size, at))
    text.replace(at, size.size(), "all bytes");
  return nlohmann::ordered_json::parse(text);
}

void check_alike(const FileReport& a, const FileReport& b, const Likeness& likeness) {
  REQUIRE((a.job && b.job));
  std::vector<std::string> found =
      differences(but_for_size(check_as_json({&a, 1}), a), but_for_size(check_as_json({&b, 1}), b), likeness);
  for (const Per per : {Per::layer, Per::object}) {
    const auto more = differences(but_for_size(measure_as_json({&a, 1}, per), a),
                                  but_for_size(measure_as_json({&b, 1}, per), b), likeness);
    found.insert(found.end(), more.begin(), more.end());
  }
  for (const std::string& sentence : found) FAIL_CHECK(sentence);
}

std::string with_line_ends(const std::string& text, const std::string& line_end) {
  std::string other;
  for (const char byte : text) other += byte == '\n' ? line_end : std::string(1, byte);
  return other;
}

TEST_CASE("the plates that the properties are tried on have many kinds of faults, and some have none") {
  std::map<std::string, int> checks;
  int clean = 0;
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const FileReport report = report_of(orchard_plate(seed).gcode());
    for (const Finding& finding : report.findings) ++checks[finding.check];
    REQUIRE(report.job.has_value());
    CHECK(report.job->layers >= 3);
    clean += report.findings.empty() ? 1 : 0;
  }
  CHECK(checks.size() >= 8);
  CHECK(clean < static_cast<int>(seeds));
}

TEST_CASE("a plate with nothing wrong has no warning and no error") {
  for (std::uint64_t seed = 100; seed < 100 + seeds; ++seed) {
    for (const Finding& finding : report_of(sound_plate(seed).gcode()).findings) {
      INFO("seed ", seed, ": ", finding.check, ": ", finding.what);
      CHECK(finding.severity == Severity::note);
    }
  }
}

TEST_CASE("the answer does not depend on the size of the blocks") {
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const std::string gcode = orchard_plate(seed).gcode();
    const std::string whole = answer(report_of(gcode));
    for (const std::size_t bytes : {std::size_t{1}, std::size_t{7}, std::size_t{4096}, std::size_t{1} << 20}) {
      INFO("seed ", seed, ", blocks of ", bytes);
      CHECK((answer(report_of(gcode, in_blocks_of(bytes))) == whole));
    }
  }
}

TEST_CASE("the answer does not depend on the number of threads") {
  std::vector<Source> jobs;
  for (std::uint64_t seed = 0; seed < seeds; ++seed)
    jobs.push_back(Source::memory("plate " + std::to_string(seed), orchard_plate(seed).gcode()));
  const auto answer_with = [&](unsigned threads) { return check_as_json(analyse_all(jobs, with_threads(threads))); };
  const std::string with_one = answer_with(1);
  for (const unsigned threads : {2U, 3U, 16U}) {
    INFO(threads, " threads");
    CHECK((answer_with(threads) == with_one));
  }
}

TEST_CASE("one job on two threads gives what it gives on one, however many batches of moves it is") {
  std::string gcode;
  for (std::uint64_t seed = 0; seed < seeds; ++seed) gcode += orchard_plate(seed).gcode();
  AnalyseOptions options = in_blocks_of(4096);
  options.threads = 1;
  const FileReport with_one = report_of(gcode, options);
  REQUIRE(with_one.job->moves > 2 * 4096);
  options.threads = 2;
  CHECK((answer(report_of(gcode, options)) == answer(with_one)));
}

/// Every report of the example plates, pages and all, as bytes.
std::string answer_for_plates(unsigned threads, std::size_t block_bytes) {
  std::vector<Source> plates;
  for (const auto& path : files_below(source_folder() / "examples" / "plates", {".gcode"}))
    plates.push_back(Source::file(path));
  AnalyseOptions options;
  options.threads = threads;
  options.block_bytes = block_bytes;
  options.per_layer = true;
  options.series = Series::flow;
  options.report_data = ReportData::findings;
  options.line_spots = true;
  const std::vector<FileReport> reports = analyse_all(plates, options);
  REQUIRE(reports.size() > 20);
  return check_as_json(reports) + check_as_html(reports, {}) + check_as_sarif(reports) +
         measure_as_csv(reports, Per::layer) + series_as_csv(reports, Series::flow);
}

TEST_CASE("the reports of the example plates are the same bytes for any number of threads and any size of blocks") {
  constexpr std::size_t mebibyte = 1 << 20;
  const std::string whole = answer_for_plates(1, 4 * mebibyte);
  for (const auto& [threads, block_bytes] : {std::pair{1U, std::size_t{1}}, std::pair{2U, std::size_t{997}},
                                             std::pair{3U, std::size_t{1}}, std::pair{16U, 4 * mebibyte}}) {
    INFO(threads, " threads, blocks of ", block_bytes);
    CHECK((answer_for_plates(threads, block_bytes) == whole));
  }
}

TEST_CASE("many jobs at once and one by one give the same") {
  std::vector<Source> jobs;
  std::vector<FileReport> one_by_one;
  for (std::uint64_t seed = 0; seed < 4; ++seed) {
    jobs.push_back(Source::memory("plate " + std::to_string(seed), orchard_plate(seed).gcode()));
    one_by_one.push_back(analyse(jobs.back(), {}));
  }
  CHECK((check_as_json(analyse_all(jobs, {})) == check_as_json(one_by_one)));
}

TEST_CASE("CRLF and CR end lines as LF does") {
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const std::string gcode = orchard_plate(seed).gcode();
    for (const char* line_end : {"\r\n", "\r"}) {
      INFO("seed ", seed);
      check_alike(report_of(gcode), report_of(with_line_ends(gcode, line_end)), {.but_for = {"bytes", "sha256"}});
    }
  }
}

TEST_CASE("a packed job is the job, whatever the size of the blocks") {
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const std::string gcode = orchard_plate(seed).gcode();
    for (const std::size_t bytes : {std::size_t{7}, std::size_t{128} << 10}) {
      INFO("seed ", seed);
      check_alike(report_of(gcode), report_of(gzip(gcode), in_blocks_of(bytes)), {.but_for = {"sha256"}});
    }
  }
}

TEST_CASE("absolute and relative E command the same") {
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const Print plate = orchard_plate(seed);
    INFO("seed ", seed);
    check_alike(report_of(plate.gcode()), report_of(plate.gcode({.relative_e = true})),
                {.relative = 1e-6, .absolute = 1e-6, .but_for = {"bytes", "sha256"}});
  }
}

TEST_CASE("inches and millimetres command the same") {
  // Six decimals of an inch are 25 nm, of a bead of 0.4 mm length 0.013 mm filament: 0.2 %.
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const Print plate = orchard_plate(seed);
    INFO("seed ", seed);
    check_alike(report_of(plate.gcode({.relative_e = true})),
                report_of(plate.gcode({.relative_e = true, .inches = true})),
                {.relative = 2e-3, .absolute = 1e-3, .but_for = {"bytes", "sha256"}});
  }
}

bool near_ratio(double a, double b, double ratio) {
  return std::fabs(a - b) <= ratio * std::max(std::fabs(a), std::fabs(b));
}

TEST_CASE("an arc is what its chords approach") {
  // Chords of 2 µm sagitta on rings of 7.5 mm radius and more: lengths differ by less than 4/3 × 0.002/7.5 = 0.04 %.
  for (std::uint64_t seed = 100; seed < 100 + seeds; ++seed) {
    const Print plate = sound_plate(seed);
    const FileReport arcs = report_of(plate.gcode());
    const FileReport chords = report_of(plate.gcode({.arcs_as_chords = true}));
    INFO("seed ", seed);
    REQUIRE((arcs.job && chords.job));
    CHECK(arcs.job->layers == chords.job->layers);
    CHECK(arcs.job->retractions == chords.job->retractions);
    CHECK(arcs.job->travel_moves == chords.job->travel_moves);
    CHECK(arcs.job->max_gear_passes == chords.job->max_gear_passes);
    CHECK(near_ratio(arcs.job->filament_fed_mm, chords.job->filament_fed_mm, 1e-9));
    CHECK(near_ratio(arcs.job->deposited_mm3, chords.job->deposited_mm3, 1e-9));
    CHECK(near_ratio(arcs.job->extruding_path_mm, chords.job->extruding_path_mm, 5e-4));
    CHECK(near_ratio(arcs.job->travel_path_mm, chords.job->travel_path_mm, 1e-9));
    CHECK(near_ratio(arcs.job->duration_s, chords.job->duration_s, 2e-2));
    CHECK(near_ratio(arcs.job->peak_flow_mm3_per_s, chords.job->peak_flow_mm3_per_s, 5e-3));
    CHECK(arcs.findings.size() == chords.findings.size());
    for (std::size_t index = 0; index < std::min(arcs.findings.size(), chords.findings.size()); ++index) {
      CHECK(arcs.findings[index].check == chords.findings[index].check);
      CHECK(arcs.findings[index].severity == chords.findings[index].severity);
    }
  }
}

}  // namespace
}  // namespace beadwise::tests
