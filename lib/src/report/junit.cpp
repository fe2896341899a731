#include <fmt/format.h>

#include <algorithm>

#include "beadwise/report.hpp"
#include "report/acceptance_text.hpp"
#include "report/cautions.hpp"
#include "report/finding_text.hpp"
#include "report/html_text.hpp"

namespace beadwise {

namespace {

/// How many findings of one check are told in full; a test case is for a person to read.
constexpr std::size_t most_told = 20;

/// The text as XML 1.0 takes it (section 2.2): of what no screen shows it allows all but two.
std::string xml(std::string_view text) {
  std::string out = escaped(text);
  for (const std::string_view forbidden : {"\xEF\xBF\xBE", "\xEF\xBF\xBF"})
    for (std::size_t at = out.find(forbidden); at != std::string::npos; at = out.find(forbidden, at))
      out.replace(at, forbidden.size(), "\xEF\xBF\xBD");
  return out;
}

struct Counts {
  std::size_t tests = 0;
  std::size_t failures = 0;
  std::size_t errors = 0;
  std::size_t skipped = 0;
};

std::string told(const Finding& finding, const FileReport& report) {
  std::string out = fmt::format("{}: {}\n", to_string(finding.severity), xml(finding.what));
  out += fmt::format("Why: {}\nDo: {}\n", xml(finding.why), xml(finding.remedy));
  for (const std::string_view caution : cautions_for(finding)) out += fmt::format("Mind: {}\n", xml(caution));
  const std::vector<ObjectFigures> on_plate = report.objects.size() > 1 ? report.objects : std::vector<ObjectFigures>();
  for (const std::string& line : where_in_words(finding, on_plate)) out += fmt::format("Where: {}\n", xml(line));
  const std::string limit = limit_in_words(finding);
  if (!limit.empty()) out += fmt::format("Limit: {}\n", xml(limit));
  if (finding.accepted) out += fmt::format("Known: {}\n", xml(accepted_in_words(*finding.accepted)));
  return out;
}

std::string told(const std::vector<const Finding*>& findings, const FileReport& report) {
  std::string out;
  for (std::size_t i = 0; i < std::min(findings.size(), most_told); ++i)
    out += (i > 0 ? "\n" : "") + told(*findings[i], report);
  if (findings.size() > most_told) out += fmt::format("\nAnd {} more.\n", findings.size() - most_told);
  return out;
}

std::string failure(const std::vector<const Finding*>& failing, const FileReport& report) {
  const Finding& worst = *failing.front();
  const std::string more = failing.size() > 1 ? fmt::format(" (and {} more)", failing.size() - 1) : std::string();
  return fmt::format("      <failure message=\"{}{}\" type=\"{}\">{}</failure>\n", xml(worst.what), more,
                     to_string(worst.severity), told(failing, report));
}

/// The inside of a test case: nothing where nothing was found.
std::string outcome(const CheckState& state, const FileReport& report, std::optional<Severity> gate, Counts& counts) {
  if (!state.ran) {
    ++counts.skipped;
    return fmt::format("      <skipped message=\"{}\"/>\n", xml(state.because.value_or("")));
  }
  std::vector<const Finding*> failing;
  std::vector<const Finding*> others;
  for (const Finding& finding : report.findings) {
    if (finding.check != state.check) continue;
    const bool fails = gate && finding.severity >= *gate && !finding.accepted;
    (fails ? failing : others).push_back(&finding);
  }
  if (!failing.empty()) ++counts.failures;
  std::string out = failing.empty() ? std::string() : failure(failing, report);
  if (!others.empty()) out += fmt::format("      <system-out>{}</system-out>\n", told(others, report));
  return out;
}

std::string test_case(const FileReport& report, std::string_view name, const std::string& inside) {
  const std::string start = fmt::format(R"(    <testcase classname="{}" name="{}" time="0")", xml(report.file), name);
  return inside.empty() ? start + "/>\n" : start + ">\n" + inside + "    </testcase>\n";
}

std::string test_suite(const FileReport& report, std::optional<Severity> gate) {
  Counts counts;
  std::string cases;
  if (report.failure) {
    counts = {.tests = 1, .errors = 1};
    cases = test_case(report, "reading",
                      fmt::format("      <error message=\"{}\" type=\"unreadable\"/>\n", xml(*report.failure)));
  }
  for (const CheckState& state : report.checks) {
    ++counts.tests;
    cases += test_case(report, state.check, outcome(state, report, gate, counts));
  }
  return fmt::format(R"(  <testsuite name="{}" tests="{}" failures="{}" errors="{}" skipped="{}" time="0">)",
                     xml(report.file), counts.tests, counts.failures, counts.errors, counts.skipped) +
         '\n' + cases + "  </testsuite>\n";
}

}  // namespace

std::string check_as_junit(std::span<const FileReport> reports, std::optional<Severity> gate) {
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites>\n";
  for (const FileReport& report : reports) out += test_suite(report, gate);
  return out + "</testsuites>\n";
}

}  // namespace beadwise
