#include "beadwise/check.hpp"

#include <fmt/format.h>

#include "checks/support/complete_command.hpp"
#include "checks/support/job_end.hpp"
#include "checks/support/quote_of.hpp"

namespace beadwise::checks::truncated_file {

const Description& describe() {
  static const Description description{.needs = Needs::moves,
                                       .severities = {Severity::error},
                                       .symptoms = {},
                                       .thresholds = {largest_lift},
                                       .judges_text = false};
  return description;
}

namespace {

class TruncatedFile : public Check {
 public:
  explicit TruncatedFile(const CheckContext& context)
      : name_(context.name), end_(context.limit(largest_lift.key).value) {}

  void on_moves(const MoveBatch& batch, Findings&) override { end_.on_moves(batch); }

  void on_end(const JobSummary& job, Findings& findings) override {
    const bool cut = cut_line(job) != 0;
    if (!cut && !end_.stops_at_part(job)) return;
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.what = cut ? cut_what(job) : stop_what(job);
    finding.why =
        "A sliced file ends with commands that take the nozzle off the part and switch heaters and motors off. Where "
        "they are missing, so is the rest of the part, as after a copy or an upload that was broken off, or on a full "
        "card. The printer stops where the file stops: the hot nozzle stays on the part, melts into it and goes on "
        "heating with nobody there, which is a danger of burns and of fire.";
    finding.remedy = fmt::format(
        "Do not print it. Slice or copy the file again and compare sizes: this one has {} bytes in {} lines. A printer "
        "that already stands still like this: switch its heaters off and move the nozzle away, by its own manual.",
        job.figures.bytes, job.figures.lines);
    finding.key = "end";
    finding.places.add(place(job));
    findings.add(std::move(finding));
  }

 private:
  static std::string cut_what(const JobSummary& job) {
    return fmt::format("The file stops inside a command: its last line, {}, is {}.", job.last_text_line,
                       quote_of(job.last_text));
  }

  std::string stop_what(const JobSummary& job) const {
    return fmt::format(
        "The file stops in the middle of the print: after the bead at line {}, on layer {} at Z {:.2f} mm, nothing "
        "lifts the nozzle off the part or ends the job, and {} on.",
        end_.last_bead_line(), end_.last_bead_layer(), end_.last_bead_end_mm().z, heaters(job.settings));
  }

  static std::string heaters(const Settings& settings) {
    const double nozzle_c = settings.tool_c();
    const bool bed = settings.bed_c > 0;
    if (nozzle_c > 0 && bed) return fmt::format("nozzle ({:g} °C) and bed ({:g} °C) stay", nozzle_c, settings.bed_c);
    if (nozzle_c > 0) return fmt::format("the nozzle ({:g} °C) stays", nozzle_c);
    if (bed) return fmt::format("the bed ({:g} °C) stays", settings.bed_c);
    return "a heater stays";
  }

  Place place(const JobSummary& job) const {
    return {.line = job.last_text_line,
            .layer = end_.last_bead_layer(),
            .x_mm = job.end_mm.x,
            .y_mm = job.end_mm.y,
            .z_mm = job.end_mm.z,
            .has_position = true};
  }

  std::string name_;
  JobEnd end_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<TruncatedFile>(context); }

}  // namespace beadwise::checks::truncated_file
