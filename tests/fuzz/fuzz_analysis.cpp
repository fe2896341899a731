// The whole analysis, every check on: an answer for any bytes, packed ones too, that keeps its schema, has no figure
// that is no number, can be written in every format, and does not depend on blocks or threads.

#include <cstdint>
#include <nlohmann/json.hpp>
#include <numeric>
#include <span>
#include <string>
#include <string_view>

#include "beadwise/analyse.hpp"
#include "fuzz/support/demand.hpp"
#include "fuzz/support/schema.hpp"
#include "support/files.hpp"
#include "support/finite_figures.hpp"
#include "support/gzip.hpp"

using namespace beadwise;
using fuzz::demand;

namespace {

constexpr std::size_t largest_input = 1 << 19;

AnalyseOptions everything(std::size_t bytes, unsigned threads, std::size_t block_bytes) {
  AnalyseOptions options;
  options.per_layer = true;
  options.per_object = true;
  options.series = Series::flow;
  // Pictures of every layer of a large job would be most of the work.
  options.report_data = bytes < largest_input / 16 ? ReportData::full : ReportData::findings;
  options.line_spots = true;
  options.threads = threads;
  options.block_bytes = block_bytes;
  return options;
}

FileReport report_of(std::string bytes, const AnalyseOptions& options) {
  return analyse(Source::memory("job.gcode", std::move(bytes)), options);
}

const nlohmann::json& schema() {
  static const nlohmann::json read =
      nlohmann::json::parse(tests::read_file(tests::source_folder() / "docs" / "report.schema.json"));
  return read;
}

void demand_schema(const std::string& json) {
  const std::string broken = fuzz::broken_at(nlohmann::json::parse(json), schema(), schema());
  demand(broken.empty(), "the report keeps its schema: " + broken);
}

void demand_figures(std::span<const FileReport> one) {
  for (const Per per : {Per::job, Per::layer, Per::object}) {
    demand(nlohmann::json::parse(measure_as_json(one, per)).is_object(), "figures are written");
    demand(!measure_as_csv(one, per).empty(), "a table is written");
  }
  demand(!series_as_csv(one, Series::flow).empty(), "a series is written");
}

/// One writing for each input, whichever its bytes choose: all of them would be most of the work.
void demand_writing(std::size_t choice, const FileReport& report, const std::string& json) {
  const std::span<const FileReport> one{&report, 1};
  // SARIF carries the page of every check, whatever the job.
  constexpr std::size_t sarif_once_in = 64;
  if (choice % sarif_once_in == 0)
    return demand(nlohmann::json::parse(check_as_sarif(one)).contains("runs"), "SARIF is written");
  constexpr std::size_t writings = 6;
  switch (choice % writings) {
    case 0:
      return demand(!check_as_text(one, {}).empty(), "text is written");
    case 1:
      return demand(!check_as_html(one, {}).empty(), "a page is written");
    case 2:
      return demand(!check_as_markdown(one).empty(), "a note is written");
    case 3:
      return demand(!check_as_junit(one, Severity::error).empty(), "JUnit is written");
    case 4:
      return demand_figures(one);
    default:
      return demand_schema(json);
  }
}

std::string without_sha(FileReport report) {
  report.sha256.clear();
  return check_as_json({&report, 1});
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > largest_input) return 0;
  const std::string bytes(reinterpret_cast<const char*>(data), size);
  const FileReport report = report_of(bytes, everything(size, 1, 128 * 1024));
  const std::string json = check_as_json({&report, 1});
  const std::string none = tests::figure_that_is_none(report);
  demand(none.empty(), none);
  demand_writing(std::accumulate(data, data + size, std::size_t{0}), report, json);
  const FileReport otherwise = report_of(bytes, everything(size, 2, 1 + size % 97));
  demand(check_as_json({&otherwise, 1}) == json, "the answer does not depend on blocks and threads");
  if (size > 0 && !bytes.starts_with("\x1F\x8B")) {
    const FileReport unpacked = report_of(tests::gzip(bytes), everything(size, 1, 4096));
    demand(without_sha(unpacked) == without_sha(report), "a packed job is the job");
  }
  return 0;
}
