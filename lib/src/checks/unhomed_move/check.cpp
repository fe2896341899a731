#include "beadwise/check.hpp"

#include <fmt/format.h>

#include "checks/support/laying.hpp"
#include "checks/support/place_of.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::unhomed_move {

const Description& describe() {
  static const Description description{.needs = Needs::moves,
                                       .severities = {Severity::warning},
                                       .symptoms = {Symptom::knocked_loose},
                                       .thresholds = {},
                                       .judges_text = false};
  return description;
}

namespace {

class UnhomedMove : public Check {
 public:
  explicit UnhomedMove(const CheckContext& context) : name_(context.name) {}

  void on_moves(const MoveBatch& batch, Findings& findings) override {
    if (decided_) return;
    in_order(
        batch, [&](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(move, findings); });
  }

 private:
  void on_event(const Event& event) {
    laying_.on_event(event);
    // Where the head is may also be told by hand: G92 says that it stands at a known place.
    if (event.kind == EventKind::homing || event.kind == EventKind::origin_set) know(event.text);
    // It may have homed; what it did is not in the file.
    if (event.may_heat) decided_ = true;
  }

  void know(std::string_view axes) {
    for (const char axis : axes) {
      if (axis == 'X') x_known_ = true;
      if (axis == 'Y') y_known_ = true;
      if (axis == 'Z') z_known_ = true;
    }
  }

  void on_move(const Move& move, Findings& findings) {
    if (decided_ || !laying_.lays(move)) return;
    decided_ = true;
    const std::string axes = unknown_axes();
    if (axes.empty()) return;
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::warning;
    finding.symptoms = {Symptom::knocked_loose};
    finding.what =
        fmt::format("The first bead, at line {}, is laid at X {:.2f} Y {:.2f} Z {:.2f} before the file homes {}.",
                    move.line, move.from_mm.x, move.from_mm.y, move.from_mm.z, axes);
    finding.why =
        "Until it is homed a machine does not know where its head is: it takes the place where it was switched on for "
        "the origin, or refuses to move. The print starts in the wrong place or in the air, or the nozzle is driven "
        "into the bed.";
    finding.remedy = fmt::format(
        "Put `{}` before line {}, with the nozzle free to move. If you home the machine by hand before each job, "
        "accept "
        "this finding in the profile and say so there.",
        command(), move.line);
    finding.key = "axes " + axes;
    finding.places.add(place_of(move, 0));
    findings.add(std::move(finding));
  }

  std::string unknown_axes() const {
    std::vector<std::string_view> names;
    if (!x_known_) names.push_back("X");
    if (!y_known_) names.push_back("Y");
    if (!z_known_) names.push_back("Z");
    std::string axes;
    for (std::size_t i = 0; i < names.size(); ++i) {
      if (i > 0) axes += i + 1 == names.size() ? " and " : ", ";
      axes += names[i];
    }
    return axes;
  }

  std::string command() const {
    if (!x_known_ && !y_known_ && !z_known_) return "G28";
    return fmt::format("G28{}{}{}", x_known_ ? "" : " X", y_known_ ? "" : " Y", z_known_ ? "" : " Z");
  }

  std::string name_;
  Laying laying_;
  bool decided_ = false;
  bool x_known_ = false;
  bool y_known_ = false;
  bool z_known_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<UnhomedMove>(context); }

}  // namespace beadwise::checks::unhomed_move
