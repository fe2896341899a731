#include "report/sarif_result.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/cautions.hpp"
#include "report/json_finding.hpp"
#include "report/markdown_text.hpp"
#include "report/sarif_location.hpp"
#include "report/sarif_text.hpp"

namespace beadwise {

namespace {

Json message(const Finding& finding) {
  std::string text = finding.what + ' ' + finding.why + ' ' + finding.remedy;
  std::string markdown = markdown_prose(finding.what) + "\n\n**Why:** " + markdown_prose(finding.why) + "\n\n**Do:** " +
                         markdown_prose(finding.remedy);
  for (const std::string_view caution : cautions_for(finding)) {
    text += ' ' + std::string(caution);
    markdown += "\n\n**Mind:** " + markdown_prose(caution);
  }
  return {{"text", sarif_text(text)}, {"markdown", sarif_markdown(markdown)}};
}

/// How far from its limit, 0 (at it) to 1, whichever of the two is the larger.
double excess_of(const Finding& finding) {
  constexpr double unknown = 0.5;
  if (!finding.measured) return unknown;
  const double least = std::min(finding.measured->value, finding.measured->limit);
  const double most = std::max(finding.measured->value, finding.measured->limit);
  return std::isfinite(most) && least > 0 ? 1 - least / most : unknown;
}

/// Section 3.27.25, 0 to 100: a third for each severity, within it by how far the limit is passed.
Json rank_of(const Finding& finding) {
  constexpr double band = 100.0 / 3;
  constexpr double tenths = 10;
  const double rank = band * (static_cast<double>(finding.severity) + excess_of(finding));
  return std::round(rank * tenths) / tenths;
}

Json suppressions_of(const Finding& finding) {
  Json suppressions = Json::array();
  if (!finding.accepted) return suppressions;
  Json suppression = {{"kind", "external"}, {"status", "accepted"}};
  if (!finding.accepted->because.empty()) suppression["justification"] = finding.accepted->because;
  suppression["properties"] = {{"from", finding.accepted->from}};
  suppressions.push_back(std::move(suppression));
  return suppressions;
}

Json properties_of(const Finding& finding) {
  const Json all = to_json(finding);
  Json properties = Json::object();
  for (const std::string_view key : {"measured", "count", "lines", "layers", "box_mm", "symptoms", "objects"})
    properties[std::string(key)] = all[key];
  return properties;
}

}  // namespace

Json sarif_result(const FileReport& report, const Finding& finding, const SarifIndex& index) {
  const std::vector<Place> places = finding.places.worst();
  Json related = Json::array();
  for (std::size_t i = 1; i < places.size(); ++i)
    related.push_back(sarif_related_location(report, finding, places[i], i, index));
  Json result = {
      {"ruleId", finding.check},
      {"ruleIndex", index.number_of(finding.check)},
      {"kind", "fail"},
      {"level", to_string(finding.severity)},
      {"message", message(finding)},
      {"locations", Json::array({sarif_location(report, finding, places.empty() ? Place{} : places.front(), index)})}};
  if (!related.empty()) result["relatedLocations"] = std::move(related);
  result["partialFingerprints"] = {{"beadwiseFinding/v1", finding.fingerprint}};
  result["rank"] = rank_of(finding);
  // Section 3.27.23: in all results of a run or in none.
  result["suppressions"] = suppressions_of(finding);
  result["properties"] = properties_of(finding);
  return result;
}

}  // namespace beadwise
