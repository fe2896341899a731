#include "beadwise/baseline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <tuple>

#include "base/last_part.hpp"
#include "beadwise/version.hpp"
#include "compare/json_node.hpp"
#include "finding/accept.hpp"
#include "report/json_value.hpp"

namespace beadwise {

namespace {

constexpr std::uint64_t baseline_version = 1;
constexpr std::size_t most_files = 100'000;
constexpr std::size_t most_findings = 100'000;

void refuse_other_files(const JsonNode& root) {
  if (root.find("schema_version"))
    root.refuse("is a report of check, no baseline: write one with --write-baseline FILE");
  const std::optional<JsonNode> version = root.find("baseline_version");
  if (!version || !root.find("beadwise")) root.refuse("is no baseline: write one with --write-baseline FILE");
  if (version->count() != baseline_version)
    version->refuse(fmt::format("is {}, from beadwise {}; this program reads {}: write the baseline anew with it",
                                version->count(), root.at("beadwise").text(), baseline_version));
}

KnownFile known_file(const JsonNode& node) {
  KnownFile file;
  file.file = node.at("file").text();
  const JsonNode findings = node.at("findings");
  const std::size_t count = findings.items(most_findings);
  for (std::size_t i = 0; i < count; ++i) {
    const JsonNode finding = findings.item(i);
    const std::optional<JsonNode> what = finding.find("what");
    file.findings.push_back({.check = finding.at("check").text(),
                             .fingerprint = finding.at("fingerprint").text(),
                             .severity = finding.at("severity").severity(),
                             .what = what ? what->text() : std::string()});
  }
  return file;
}

/// The one file whose name, as `part` takes it, is that of the report; where both are alone in having it.
template <class Part>
const KnownFile* named(const Baseline& baseline, std::span<const FileReport> reports, const FileReport& report,
                       Part part) {
  const std::string_view name = part(report.file);
  const KnownFile* found = nullptr;
  for (const KnownFile& file : baseline.files) {
    if (part(file.file) != name) continue;
    if (found != nullptr) return nullptr;
    found = &file;
  }
  const auto same =
      std::count_if(reports.begin(), reports.end(), [&](const FileReport& other) { return part(other.file) == name; });
  return same == 1 ? found : nullptr;
}

const KnownFile* known_of(const Baseline& baseline, std::span<const FileReport> reports, const FileReport& report) {
  const auto own = std::find_if(baseline.files.begin(), baseline.files.end(),
                                [&](const KnownFile& file) { return file.file == report.file; });
  if (own != baseline.files.end()) return &*own;
  if (const KnownFile* moved = named(baseline, reports, report, last_part)) return moved;
  return baseline.files.size() == 1 && reports.size() == 1 ? &baseline.files.front() : nullptr;
}

bool ran(const FileReport& report, std::string_view check) {
  return std::any_of(report.checks.begin(), report.checks.end(),
                     [&](const CheckState& state) { return state.ran && state.check == check; });
}

void accept_in(FileReport& report, const KnownFile& known, const std::string& baseline) {
  for (const KnownFinding& one : known.findings) {
    const auto found = std::find_if(report.findings.begin(), report.findings.end(), [&](const Finding& finding) {
      return finding.check == one.check && finding.fingerprint == one.fingerprint;
    });
    if (found == report.findings.end()) {
      if (ran(report, one.check))
        report.unused_acceptances.push_back({.check = one.check, .where = one.fingerprint, .from = baseline});
    } else if (!found->accepted && found->severity <= one.severity) {
      found->accepted = Acceptance{.because = "", .from = baseline};
    }
  }
  put_accepted_last(report.findings);
}

Json noted(const FileReport& report) {
  std::vector<const Finding*> findings;
  for (const Finding& finding : report.findings)
    if (!finding.accepted || !finding.accepted->in_profile) findings.push_back(&finding);
  std::sort(findings.begin(), findings.end(), [](const Finding* a, const Finding* b) {
    return std::tie(a->check, a->fingerprint) < std::tie(b->check, b->fingerprint);
  });
  Json list = Json::array();
  for (const Finding* finding : findings)
    list.push_back({{"check", finding->check},
                    {"fingerprint", finding->fingerprint},
                    {"severity", to_string(finding->severity)},
                    {"what", finding->what}});
  return {{"file", report.file}, {"findings", list}};
}

}  // namespace

Baseline read_baseline(std::string_view bytes, std::string_view name) {
  const JsonDocument document = read_json(bytes, name, ErrorKind::usage, max_baseline_bytes);
  const JsonNode root(document);
  refuse_other_files(root);
  Baseline baseline{.name = std::string(name), .files = {}};
  const JsonNode files = root.at("files");
  const std::size_t count = files.items(most_files);
  for (std::size_t i = 0; i < count; ++i) baseline.files.push_back(known_file(files.item(i)));
  return baseline;
}

void accept_known(const Baseline& baseline, std::span<FileReport> reports) {
  for (FileReport& report : reports)
    if (const KnownFile* known = known_of(baseline, reports, report)) accept_in(report, *known, baseline.name);
}

std::string baseline_as_json(std::span<const FileReport> reports) {
  std::vector<const FileReport*> sorted;
  for (const FileReport& report : reports) sorted.push_back(&report);
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const FileReport* a, const FileReport* b) { return a->file < b->file; });
  Json files = Json::array();
  std::set<std::string_view> names;
  for (const FileReport* report : sorted)
    if (names.insert(report->file).second) files.push_back(noted(*report));
  return written({{"beadwise", version()}, {"baseline_version", baseline_version}, {"files", files}});
}

}  // namespace beadwise
