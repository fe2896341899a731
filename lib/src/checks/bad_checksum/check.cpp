#include "beadwise/check.hpp"

#include <fmt/format.h>

#include "checks/support/complete_command.hpp"
#include "checks/support/place_of.hpp"

namespace beadwise::checks::bad_checksum {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves, .severities = {Severity::error}, .symptoms = {}, .thresholds = {}, .judges_text = true};
  return description;
}

namespace {

class BadChecksum : public Check {
 public:
  explicit BadChecksum(const CheckContext& context) : name_(context.name) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) {
      if (event.kind != EventKind::bad_checksum) continue;
      places_.add(place_of(event, 0));
      last_ = event;
    }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (places_.empty()) return;
    // A line that was cut is one thing to act on, and truncated-file says it.
    if (places_.count() == 1 && last_.line == cut_line(job)) return;
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.what = what(job);
    finding.why =
        "The number after `*` is the exclusive-or of all bytes before it. Where they differ, a byte of the line was "
        "changed after it was written, and a changed digit is a wrong place, feed or temperature. A printer that "
        "verifies the sum refuses such a line and stops or loses it; one that does not follows the damaged line.";
    finding.remedy =
        "Slice or copy the file anew instead of repairing it: a sum finds one kind of damage only, and other lines may "
        "hold more. If the lines were edited by hand, remove `N` and `*` with their numbers from them.";
    finding.key = "checksum";
    finding.places = places_;
    findings.add(std::move(finding));
  }

 private:
  std::string what(const JobSummary& job) const {
    const std::uint64_t count = places_.count();
    if (count == 1) return fmt::format("The checksum of line {} does not match the line.", places_.first_line());
    return fmt::format(
        "{} of {} lines carry a checksum that does not match them, the first at line {}, the last at line {}.", count,
        job.figures.lines, places_.first_line(), places_.last_line());
  }

  std::string name_;
  Places places_;
  Event last_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<BadChecksum>(context); }

}  // namespace beadwise::checks::bad_checksum
