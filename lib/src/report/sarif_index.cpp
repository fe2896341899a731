#include "report/sarif_index.hpp"

#include <set>

#include "report/sarif_uri.hpp"

namespace beadwise {

SarifIndex::SarifIndex(std::span<const FileReport> reports) {
  std::set<std::string_view> asked_for;
  for (const FileReport& report : reports) {
    for (const CheckState& state : report.checks) asked_for.insert(state.check);
    const auto [uri, is_new] = numbers_of_uris_.emplace(sarif_uri(report.file), files_.size());
    if (is_new) files_.push_back(&report);
  }
  for (const RegisteredCheck& check : all_checks()) {
    if (asked_for.count(check.name) == 0) continue;
    numbers_of_checks_.emplace(check.name, checks_.size());
    checks_.push_back(&check);
  }
}

Json SarifIndex::rule(std::string_view check) const { return {{"id", check}, {"index", number_of(check)}}; }

Json SarifIndex::file(std::string_view name) const {
  const std::string uri = sarif_uri(name);
  return {{"uri", uri}, {"index", numbers_of_uris_.find(uri)->second}};
}

}  // namespace beadwise
