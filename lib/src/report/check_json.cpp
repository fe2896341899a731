#include "beadwise/version.hpp"
#include "report/json_assumptions.hpp"
#include "report/json_figures.hpp"
#include "report/json_finding.hpp"
#include "report/json_value.hpp"

namespace beadwise {

namespace {

constexpr int schema_version = 1;

Json file(const FileReport& report) {
  Json checks = Json::array();
  for (const CheckState& state : report.checks) {
    checks.push_back({{"check", state.check},
                      {"state", state.ran ? "ran" : "skipped"},
                      {"because", json_text(state.because)},
                      {"findings", state.findings}});
  }
  Json findings = Json::array();
  for (const Finding& found : report.findings) findings.push_back(to_json(found));
  Json unknown = Json::array();
  for (const NamedCount& command : report.unknown)
    unknown.push_back({{"name", command.name}, {"count", command.count}});
  Json unused = Json::array();
  for (const UnusedAcceptance& acceptance : report.unused_acceptances)
    unused.push_back({{"check", acceptance.check}, {"where", acceptance.where}, {"from", acceptance.from}});
  return {{"file", report.file},
          {"sha256", report.sha256.empty() ? Json(nullptr) : Json(report.sha256)},
          {"verdict", report.verdict()},
          {"failure", json_text(report.failure)},
          {"assumptions", to_json(report.assumptions)},
          {"job", report.job ? to_json(*report.job) : Json(nullptr)},
          {"checks", checks},
          {"findings", findings},
          {"unseen", report.unseen},
          {"unknown_commands", unknown},
          {"unused_acceptances", unused}};
}

}  // namespace

std::string check_as_json(std::span<const FileReport> reports) {
  Json files = Json::array();
  for (const FileReport& report : reports) files.push_back(file(report));
  return written({{"beadwise", version()}, {"schema_version", schema_version}, {"files", files}});
}

}  // namespace beadwise
