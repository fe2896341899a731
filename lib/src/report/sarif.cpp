#include "beadwise/report.hpp"
#include "beadwise/version.hpp"
#include "report/json_value.hpp"
#include "report/sarif_index.hpp"
#include "report/sarif_invocations.hpp"
#include "report/sarif_result.hpp"
#include "report/sarif_rules.hpp"

namespace beadwise {

namespace {

constexpr std::string_view schema =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

Json driver(const SarifIndex& index) {
  return {{"name", "beadwise"},
          {"version", version()},
          {"semanticVersion", version()},
          {"language", "en"},
          {"notifications", sarif_notifications()},
          {"rules", sarif_rules(index)}};
}

Json artifact(const FileReport& report, const SarifIndex& index) {
  Json artifact = {{"location", index.file(report.file)}, {"roles", Json::array({"analysisTarget"})}};
  if (report.failure) return artifact;
  artifact["mimeType"] = report.packed ? "application/gzip" : "text/plain";
  if (report.packed)
    artifact["description"] = {{"text", "Packed with gzip. Lines and offsets are those of the unpacked text."}};
  // The length is that of the file as it lies there (section 3.24.8).
  if (!report.packed && report.job) artifact["length"] = report.job->bytes;
  artifact["hashes"] = {{"sha-256", report.sha256}};
  artifact["properties"] = {{"verdict", report.verdict()}};
  return artifact;
}

Json artifacts(const SarifIndex& index) {
  Json list = Json::array();
  for (const FileReport* report : index.files()) list.push_back(artifact(*report, index));
  return list;
}

Json run(std::span<const FileReport> reports) {
  const SarifIndex index(reports);
  const SarifInvocations invocations = sarif_invocations(reports, index);
  Json results = Json::array();
  for (std::size_t i = 0; i < reports.size(); ++i)
    for (const Finding& finding : reports[i].findings) {
      results.push_back(sarif_result(reports[i], finding, index));
      if (invocations.invocations.size() > 1)
        results.back()["provenance"] = {{"invocationIndex", invocations.of_report[i]}};
    }
  return {{"tool", {{"driver", driver(index)}}},
          {"invocations", invocations.invocations},
          {"language", "en"},
          {"defaultEncoding", "UTF-8"},
          {"columnKind", "unicodeCodePoints"},
          // Without the lone CR, the lines of a file that has some would not be those that are told.
          {"newlineSequences", {"\r\n", "\n", "\r"}},
          {"artifacts", artifacts(index)},
          {"results", std::move(results)}};
}

}  // namespace

std::string check_as_sarif(std::span<const FileReport> reports) {
  return written({{"$schema", schema}, {"version", "2.1.0"}, {"runs", Json::array({run(reports)})}});
}

}  // namespace beadwise
