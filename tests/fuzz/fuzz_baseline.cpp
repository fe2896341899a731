// A baseline and a report that is read back: read or refused with an Error, and nothing else. What a report gave is
// read back to the same report.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "beadwise/baseline.hpp"
#include "beadwise/compare.hpp"
#include "beadwise/error.hpp"
#include "beadwise/report.hpp"
#include "fuzz/support/demand.hpp"

using namespace beadwise;
using fuzz::demand;

namespace {

constexpr std::size_t largest_input = 1 << 18;

void demand_sentence(const Error& error) {
  demand(error.kind() != ErrorKind::profile, "what is wrong with a baseline or a report is no profile's fault");
  demand(!error.sentence().empty(), "an error says what is wrong");
  demand(error.sentence().find('\n') == std::string::npos, "an error is one line");
}

/// Empty where the bytes are no reports.
std::vector<FileReport> read_reports(std::string_view bytes) {
  try {
    return reports_from_json(bytes, "report.json");
  } catch (const Error& error) {
    demand_sentence(error);
    return {};
  }
}

void read_known(std::string_view bytes, std::span<FileReport> reports) {
  try {
    const Baseline baseline = read_baseline(bytes, "baseline.json");
    accept_known(baseline, reports);
    demand(!check_as_text(reports, {}).empty(), "what is accepted is told");
  } catch (const Error& error) {
    demand_sentence(error);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > largest_input) return 0;
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  std::vector<FileReport> reports = read_reports(bytes);
  if (!reports.empty()) {
    const std::string written = check_as_json(reports);
    demand(check_as_json(read_reports(written)) == written, "a report that is read back is the report");
    demand(!baseline_as_json(reports).empty(), "a baseline is written of what was read");
  }
  read_known(bytes, reports);
  return 0;
}
