#include "beadwise/check.hpp"

#include <fmt/format.h>

#include <bitset>

#include "checks/support/complete_command.hpp"
#include "checks/support/job_end.hpp"

namespace beadwise::checks::heater_left_on {

const Description& describe() {
  static const Description description{.needs = Needs::moves,
                                       .severities = {Severity::error},
                                       .symptoms = {},
                                       .thresholds = {largest_lift},
                                       .judges_text = false};
  return description;
}

namespace {

/// One heater that is on at the end, and the command that switches it off.
struct Heater {
  std::string name;
  double set_c = 0;
  std::string off;
};

class HeaterLeftOn : public Check {
 public:
  explicit HeaterLeftOn(const CheckContext& context)
      : name_(context.name), end_(context.limit(largest_lift.key).value) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    end_.on_moves(batch);
    for (const Event& event : batch.events) on_event(event);
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    // What a macro at the end does is not in the file; a file that was cut is one thing to act on, and truncated-file
    // says it.
    if (!end_.has_beads() || end_.is_hidden(job)) return;
    if (cut_line(job) != 0 || end_.stops_at_part(job)) return;
    const std::vector<Heater> heaters = heaters_on(job.settings);
    if (heaters.empty()) return;
    findings.add(finding(job, heaters));
  }

 private:
  void on_event(const Event& event) {
    if (event.kind == EventKind::tool_change) tool_ = static_cast<std::uint8_t>(event.value);
    if (event.kind != EventKind::nozzle_set) return;
    // Who heats a tool that is not in use has a heater for each.
    if (event.tool != tool_) own_heaters_ = true;
    set_.set(event.tool);
  }

  std::vector<Heater> heaters_on(const Settings& settings) const {
    std::vector<Heater> on;
    const bool several = set_.count() > 1;
    for (std::size_t tool = 0; tool < settings.nozzle_c.size(); ++tool) {
      const double set_c = settings.nozzle_c[tool];
      if (!(set_c > 0)) continue;
      // Several filaments may share one nozzle: then what was set last, for the tool in use, holds.
      if (tool != settings.tool && !own_heaters_) continue;
      on.push_back({.name = several ? fmt::format("nozzle {}", tool) : "the nozzle",
                    .set_c = set_c,
                    .off = several ? fmt::format("M104 T{} S0", tool) : "M104 S0"});
    }
    if (settings.bed_c > 0) on.push_back({.name = "the bed", .set_c = settings.bed_c, .off = "M140 S0"});
    return on;
  }

  Finding finding(const JobSummary& job, const std::vector<Heater>& heaters) const {
    std::string names, commands, key;
    for (const Heater& heater : heaters) {
      const bool last = &heater == &heaters.back();
      const std::string_view joint = names.empty() ? "" : last ? " and " : ", ";
      names += fmt::format("{}{} at {:g} °C", joint, heater.name, heater.set_c);
      commands += fmt::format("{}`{}`", joint, heater.off);
      key += (key.empty() ? "" : ", ") + heater.name;
    }
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.what =
        fmt::format("The job ends with {} still on; the last bead is at line {}.", names, end_.last_bead_line());
    finding.why =
        "Nothing in the file switches it off, so it heats on with nobody there until a person or a time-out of the "
        "machine ends it. A hot nozzle chars the filament that stands in it and clogs; whatever touches nozzle or bed "
        "burns; a heater without supervision is a danger of fire.";
    finding.remedy = fmt::format(
        "Add {} after line {}. If the machine is to stay warm for the next job, accept this finding in the profile and "
        "say why; leave no heater unattended, and keep to the machine maker's manual.",
        commands, end_.last_bead_line());
    finding.key = key;
    finding.places.add({.line = job.last_text_line,
                        .layer = end_.last_bead_layer(),
                        .x_mm = job.end_mm.x,
                        .y_mm = job.end_mm.y,
                        .z_mm = job.end_mm.z,
                        .has_position = true,
                        .value = heaters.front().set_c});
    return finding;
  }

  std::string name_;
  JobEnd end_;
  std::bitset<64> set_;
  std::uint8_t tool_ = 0;
  bool own_heaters_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<HeaterLeftOn>(context); }

}  // namespace beadwise::checks::heater_left_on
