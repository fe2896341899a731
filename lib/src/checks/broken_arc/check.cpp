#include "beadwise/check.hpp"

#include <fmt/format.h>

#include "checks/support/complete_command.hpp"
#include "checks/support/place_of.hpp"

namespace beadwise::checks::broken_arc {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves, .severities = {Severity::warning}, .symptoms = {}, .thresholds = {}, .judges_text = false};
  return description;
}

namespace {

class BrokenArc : public Check {
 public:
  explicit BrokenArc(const CheckContext& context) : name_(context.name) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) {
      if (event.kind != EventKind::broken_arc) continue;
      places_.add(place_of(event, event.value));
      if (first_.line == 0) first_ = event;
    }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (places_.empty()) return;
    // A line that was cut is one thing to act on, and truncated-file says it.
    if (places_.count() == 1 && first_.line == cut_line(job)) return;
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::warning;
    finding.what = what();
    finding.why =
        "No circle passes through such points, so machines differ in what they do: some go straight to the end, some "
        "draw a circle that misses it and jump, some refuse the line and go on from the wrong place. A curve of the "
        "part becomes a flat, a bulge or a gap.";
    finding.remedy = fmt::format(
        "Slice the file again with arcs switched off, or with more decimals for I, J and R (three at least), and look "
        "at line {} first. A post-processing step that turns lines into arcs is the usual origin.",
        first_.line);
    finding.key = "arc";
    finding.places = places_;
    findings.add(std::move(finding));
  }

 private:
  std::string what() const {
    const std::string reason = first_.text.empty() ? std::string() : ": " + first_.text;
    if (places_.count() == 1)
      return fmt::format("The arc at line {} cannot be drawn as it is written{}. It was followed as a straight line.",
                         first_.line, reason);
    return fmt::format(
        "{} arcs cannot be drawn as they are written; they were followed as straight lines. The first is at line {}{}.",
        places_.count(), first_.line, reason);
  }

  std::string name_;
  Places places_;
  Event first_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<BrokenArc>(context); }

}  // namespace beadwise::checks::broken_arc
