#include "beadwise/check.hpp"

#include <fmt/format.h>

namespace beadwise::checks::not_a_print {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves, .severities = {Severity::error}, .symptoms = {}, .thresholds = {}, .judges_text = true};
  return description;
}

namespace {

class NotAPrint : public Check {
 public:
  explicit NotAPrint(const CheckContext& context) : name_(context.name) {}

  void on_end(const JobSummary& job, Findings& findings) override {
    if (!job.not_a_print) return;
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.what = fmt::format("This looks like {}, not like a print: {}.", *job.not_a_print, moves(job));
    finding.why =
        "A printer that is handed such a file obeys what it understands of it: it may drive the nozzle into the bed, "
        "heat and wait for ever, or do nothing. Nothing is printed in any case.";
    finding.remedy =
        "Send the sliced toolpath instead. If it was meant to be one, slice the model again, and look at the file's "
        "size before you start it.";
    finding.key = "nature";
    // The file as a whole is the place.
    finding.places.add({.line = 1});
    findings.add(std::move(finding));
  }

 private:
  static std::string moves(const JobSummary& job) {
    if (job.figures.moves == 0) return "none of its lines is a move";
    if (job.figures.moves == 1) return "its one move lays no material";
    return fmt::format("none of its {} moves lays material", job.figures.moves);
  }

  std::string name_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<NotAPrint>(context); }

}  // namespace beadwise::checks::not_a_print
