#include "beadwise/check.hpp"

#include <fmt/format.h>

#include <limits>

#include "checks/support/laying.hpp"
#include "checks/support/place_of.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::mid_print_homing {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::error},
      .symptoms = {Symptom::knocked_loose},
      .thresholds = {{.key = "prime_path_mm",
                      .built_in = 500,
                      .unit = "mm",
                      .meaning = "beads at one height shorter than this in all are a prime line, not a part",
                      .source = "common practice: start scripts prime with one or two lines of 60 to 200 mm"},
                     {.key = "second_layer_mm",
                      .built_in = 0.05,
                      .unit = "mm",
                      .meaning = "beads higher than this over the lowest one belong to a part, however short they are",
                      .source = "common practice: the thinnest layers in use are 0.05 mm"}},
      .judges_text = false};
  return description;
}

namespace {

/// Homing or probing that was met with a part on the plate.
struct Met {
  Places all;        ///< every one so far
  Places confirmed;  ///< as `all` was when the print went on after it
  Event first;
  bool open = false;  ///< met since the last bead

  void add(const Event& event) {
    if (all.empty()) first = event;
    all.add(place_of(event, event.at_mm.z));
    open = true;
  }
  void close(bool print_went_on) {
    if (open && print_went_on) confirmed = all;
    if (!print_went_on) all = confirmed;
    open = false;
  }
};

class MidPrintHoming : public Check {
 public:
  explicit MidPrintHoming(const CheckContext& context)
      : name_(context.name),
        prime_path_mm_(context.limit("prime_path_mm").value),
        second_layer_mm_(context.limit("second_layer_mm").value) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(move); });
  }

  void on_end(const JobSummary&, Findings& findings) override {
    if (!homed_.confirmed.empty()) findings.add(finding(homed_, "homing", "homes Z"));
    if (!probed_.confirmed.empty()) findings.add(finding(probed_, "probing", "probes the bed"));
  }

 private:
  void on_event(const Event& event) {
    laying_.on_event(event);
    switch (event.kind) {
      case EventKind::pause:
        may_be_cleared_ = true;
        return;
      case EventKind::bed_set:
        // Waiting for a cooler bed is how a part is let off the plate.
        if (event.waits && event.value < bed_c_) may_be_cleared_ = true;
        bed_c_ = event.value;
        return;
      case EventKind::homing:
        // X and Y alone take the head aside; only Z brings the nozzle down.
        if (event.text.find('Z') != std::string::npos && part_on_plate()) homed_.add(event);
        return;
      case EventKind::probing:
        if (part_on_plate()) probed_.add(event);
        return;
      default:
        return;
    }
  }

  void on_move(const Move& move) {
    if (!laying_.lays(move)) return;
    if (homed_.open || probed_.open) close(move);
    may_be_cleared_ = false;
    path_mm_ += move.path_mm;
    lowest_mm_ = std::min(lowest_mm_, move.to_mm.z);
    highest_mm_ = std::max(highest_mm_, move.to_mm.z);
  }

  bool part_on_plate() const { return path_mm_ > prime_path_mm_ || highest_mm_ > lowest_mm_ + second_layer_mm_; }

  void close(const Move& next_bead) {
    // A plate that was cleared in between is printed on from its first layer again.
    const bool new_print = may_be_cleared_ && next_bead.to_mm.z <= lowest_mm_ + second_layer_mm_;
    homed_.close(!new_print);
    probed_.close(!new_print);
    if (!new_print) return;
    path_mm_ = 0;
    lowest_mm_ = std::numeric_limits<double>::max();
    highest_mm_ = std::numeric_limits<double>::lowest();
  }

  Finding finding(const Met& met, std::string_view key, std::string_view does) const {
    const Places& places = met.confirmed;
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.symptoms = {Symptom::knocked_loose};
    finding.what =
        fmt::format("The file {} at line {}, after layer {} was laid up to Z {:.2f} mm, and prints on afterwards.",
                    does, met.first.line, met.first.layer, places.low(2));
    if (places.count() > 1) finding.what += fmt::format(" It does so {} times.", places.count());
    finding.why =
        "On most machines homing Z or probing brings the nozzle, or a probe beside it, down to the plate. With a part "
        "standing there it comes down on the part: it presses into it, knocks it loose or takes the part's top for the "
        "plate, and everything after is laid too high.";
    finding.remedy = fmt::format(
        "Take line {} out of the file, or let it come before the first bead. If the head must find its way again, home "
        "X "
        "and Y alone: `G28 X Y`, with the nozzle lifted over the part first.",
        met.first.line);
    finding.key = key;
    finding.places = places;
    return finding;
  }

  std::string name_;
  double prime_path_mm_;
  double second_layer_mm_;
  Laying laying_;
  Met homed_;
  Met probed_;
  double path_mm_ = 0;
  double lowest_mm_ = std::numeric_limits<double>::max();
  double highest_mm_ = std::numeric_limits<double>::lowest();
  double bed_c_ = 0;
  bool may_be_cleared_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<MidPrintHoming>(context); }

}  // namespace beadwise::checks::mid_print_homing
