#include <fmt/format.h>

#include <map>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"

namespace beadwise::checks::liner_overheat {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning, Severity::error},
      .symptoms = {Symptom::clogging},
      .thresholds = {
          {.key = "warning_c",
           .built_in = 240,
           .unit = "°C",
           .meaning = "a lined hot end set above this is warned of",
           .source = "10 °C below the highest operating temperature of PTFE, 250 °C (Crawford, Plastics Engineering, "
                     "table 1.8): heaters overshoot"},
          {.key = "error_c",
           .built_in = 260,
           .unit = "°C",
           .meaning = "a lined hot end set above this is an error",
           .source = "rating of PTFE for continuous use (from memory)"},
          {.key = "question_c",
           .built_in = 260,
           .unit = "°C",
           .meaning = "a set point above this is asked about where nobody stated whether there is a liner",
           .source = "rating of PTFE for continuous use (from memory)"}}};
  return description;
}

namespace {

// Hazardous fumes of PTFE: above 330 °C (Plastics Industry Association, Guide to the Safe Handling of Fluoropolymer
// Resins).
constexpr std::string_view fumes =
    "Overheated fluoropolymer gives off fumes that make people ill (polymer fume fever) and kill birds; they are "
    "hazardous above 330 °C, and a runaway heater gets there. Ventilate, keep birds out of the room, do not leave the "
    "machine alone, and follow its maker's manual.";

class LinerOverheat final : public Check {
 public:
  explicit LinerOverheat(const CheckContext& context) : context_(context) {
    const Setting<bool>& liner = context.profile.machine.liner;
    lined_ = liner.known() && *liner;
    bare_ = liner.known() && !*liner;
    limit_ = context.limit(lined_ ? "warning_c" : "question_c");
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    if (bare_) return;
    for (const Event& event : batch.events) {
      if (event.kind != EventKind::nozzle_set || !(event.value > limit_.value)) continue;
      hot_[event.tool].add(place_of(event, event.value));
    }
  }

  void on_end(const JobSummary&, Findings& findings) override {
    for (const auto& [tool, places] : hot_) findings.add(lined_ ? overheated(tool, places) : question(tool, places));
  }

 private:
  Finding overheated(std::uint8_t tool, const Places& places) const {
    const Limit error = context_.limit("error_c");
    const bool fails = places.worst_value() > error.value;
    Finding finding = about(tool, places, fails ? error : limit_);
    finding.severity = fails ? Severity::error : Severity::warning;
    finding.what = fmt::format(
        "The nozzle of tool {} is set to {} °C, and the profile states that a fluoropolymer liner reaches its hot "
        "zone.",
        tool, figure(places.worst_value(), 1));
    finding.why = fmt::format(
        "The liner's highest operating temperature is 250 °C. Above it softens, shrinks and lets melt creep in between "
        "the tube and the metal, where it chars: the hot end clogs. {}",
        fumes);
    finding.remedy = fmt::format(
        "Set this nozzle to {} °C or less, take a material that prints there, or print this job on a hot end whose "
        "hot zone is all metal (then state --set machine.liner=false).",
        figure(limit_.value));
    return finding;
  }

  Finding question(std::uint8_t tool, const Places& places) const {
    Finding finding = about(tool, places, limit_);
    finding.severity = Severity::note;
    finding.what = fmt::format(
        "The nozzle of tool {} is set to {} °C. Does a fluoropolymer liner reach the hot zone of this hot end? Nobody "
        "stated it, and the file cannot tell.",
        tool, figure(places.worst_value(), 1));
    finding.why = fmt::format(
        "If one does, it is above what the liner stands (250 °C): it softens and chars, and the hot end clogs. If the "
        "hot zone is all metal, this temperature is no risk to it. {}",
        fumes);
    finding.remedy = fmt::format(
        "Look it up in the manual of the hot end and state it: --set machine.liner=false for an all-metal one, "
        "--set machine.liner=true for a lined one; then keep a lined one at {} °C or less.",
        figure(context_.limit("warning_c").value));
    return finding;
  }

  Finding about(std::uint8_t tool, const Places& places, const Limit& limit) const {
    Finding finding;
    finding.check = context_.name;
    finding.symptoms = {Symptom::clogging};
    finding.key = fmt::format("tool {}", tool);
    finding.measured =
        Measured{.value = places.worst_value(), .limit = limit.value, .unit = "°C", .limit_from = limit.from};
    finding.places = places;
    return finding;
  }

  CheckContext context_;
  bool lined_ = false;
  bool bare_ = false;
  Limit limit_;
  std::map<std::uint8_t, Places> hot_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<LinerOverheat>(context); }

}  // namespace beadwise::checks::liner_overheat
