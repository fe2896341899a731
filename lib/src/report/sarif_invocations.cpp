#include "report/sarif_invocations.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include "report/acceptance_text.hpp"
#include "report/background_text.hpp"
#include "report/sarif_rules.hpp"
#include "report/sarif_text.hpp"

namespace beadwise {

namespace {

enum class About : std::uint8_t { skipped_check, unreadable_file, hidden_from_file, unused_acceptance };

struct Kind {
  std::string_view id;
  std::string_view text;
};
constexpr std::array<Kind, 4> kinds = {
    Kind{"check-skipped", "A check that could not judge a file, or that was switched off."},
    {"file-unreadable", "A file that could not be read to its end."},
    {"hidden-in-file", "What a file hides from the program."},
    {"acceptance-unused", "An accepted finding that was not found."}};

Json notification(About about, std::string_view level, const std::string& text, Json locations) {
  const auto number = static_cast<std::size_t>(about);
  return {{"descriptor", {{"id", kinds.at(number).id}, {"index", number}}},
          {"level", level},
          {"message", {{"text", sarif_text(text)}}},
          {"locations", std::move(locations)}};
}

Json location(const FileReport& report, const SarifIndex& index) {
  return {{"physicalLocation", {{"artifactLocation", index.file(report.file)}}}};
}

std::string as_sentence(const std::string& text) { return text.ends_with('.') ? text : text + '.'; }

/// The limits in use of a check that something was stated for.
Json stated_configuration(const RegisteredCheck& check, const CheckProfile& stated) {
  Json configuration = sarif_configuration(check);
  if (stated.severity) configuration["level"] = to_string(*stated.severity);
  for (const auto& [key, limit] : stated.limits)
    if (limit.known()) configuration["parameters"][key] = json_number(*limit);
  configuration["enabled"] = !stated.off;
  return configuration;
}

/// Where each of them stands: the line of the profile, or the option.
Json stated_places(const CheckProfile& stated) {
  Json places = Json::object();
  if (stated.severity) places["severity"] = stated.stated_at;
  if (stated.off) places["off"] = stated.stated_at;
  for (const auto& [key, limit] : stated.limits)
    if (limit.known()) places[key] = limit.because;
  return places;
}

Json overrides_of(const FileReport& report, const SarifIndex& index) {
  Json overrides = Json::array();
  for (const auto& [name, stated] : report.stated_checks) {
    if (!index.has(name)) continue;
    overrides.push_back({{"descriptor", index.rule(name)},
                         {"configuration", stated_configuration(*index.checks()[index.number_of(name)], stated)},
                         {"properties", {{"stated_at", stated_places(stated)}}}});
  }
  return overrides;
}

bool is_off(const FileReport& report, const std::string& check) {
  const auto stated = report.stated_checks.find(check);
  return stated != report.stated_checks.end() && stated->second.off;
}

/// What is said about some files that were judged alike; one notification for each check and reason, however many files
/// it holds for.
class Invocation {
 public:
  explicit Invocation(const SarifIndex& index) : index_(index) {}

  void add(const FileReport& report) {
    if (report.failure) {
      complete_ = false;
      execution_.push_back(notification(About::unreadable_file, "error", as_sentence(*report.failure), at(report)));
    }
    for (const CheckState& state : report.checks)
      if (!state.ran)
        skipped_[{is_off(report, state.check), state.check, state.because.value_or("")}].push_back(&report);
    for (const std::string& sentence : report.unseen)
      execution_.push_back(notification(About::hidden_from_file, "note", sentence, at(report)));
    for (const std::string& sentence : unused_in_words(report))
      configuration_.push_back(notification(About::unused_acceptance, "note", sentence, at(report)));
  }

  Json written(const Json& overrides) {
    for (const auto& [reason, reports] : skipped_) tell_skipped(reason, reports);
    Json invocation = {{"executionSuccessful", complete_}};
    if (!overrides.empty()) invocation["ruleConfigurationOverrides"] = overrides;
    if (!execution_.empty()) invocation["toolExecutionNotifications"] = execution_;
    if (!configuration_.empty()) invocation["toolConfigurationNotifications"] = configuration_;
    return invocation;
  }

 private:
  struct Reason {
    bool off = false;
    std::string check;
    std::string because;
    auto operator<=>(const Reason&) const = default;
  };

  Json at(const FileReport& report) const { return Json::array({location(report, index_)}); }

  void tell_skipped(const Reason& reason, const std::vector<const FileReport*>& reports) {
    Json locations = Json::array();
    for (const FileReport* report : reports) locations.push_back(location(*report, index_));
    const std::string because = reason.because.empty() ? "." : ": " + as_sentence(reason.because);
    Json told = notification(About::skipped_check, "note", fmt::format("{} was skipped{}", reason.check, because),
                             std::move(locations));
    told["associatedRule"] = index_.rule(reason.check);
    (reason.off ? configuration_ : execution_).push_back(std::move(told));
  }

  const SarifIndex& index_;
  bool complete_ = true;
  std::map<Reason, std::vector<const FileReport*>> skipped_;
  Json execution_ = Json::array();
  Json configuration_ = Json::array();
};

}  // namespace

SarifInvocations sarif_invocations(std::span<const FileReport> reports, const SarifIndex& index) {
  std::vector<Json> overrides;
  std::vector<Invocation> invocations;
  SarifInvocations written;
  for (const FileReport& report : reports) {
    Json own = overrides_of(report, index);
    // What was stated for a file that cannot be read is not known: it goes with the first.
    const auto known = report.failure ? overrides.begin() : std::find(overrides.begin(), overrides.end(), own);
    const auto number = static_cast<std::size_t>(known - overrides.begin());
    if (known == overrides.end()) {
      overrides.push_back(std::move(own));
      invocations.emplace_back(index);
    }
    invocations[number].add(report);
    written.of_report.push_back(number);
  }
  for (std::size_t i = 0; i < invocations.size(); ++i)
    written.invocations.push_back(invocations[i].written(overrides[i]));
  return written;
}

Json sarif_notifications() {
  Json descriptors = Json::array();
  for (const Kind& kind : kinds) descriptors.push_back({{"id", kind.id}, {"shortDescription", {{"text", kind.text}}}});
  return descriptors;
}

}  // namespace beadwise
