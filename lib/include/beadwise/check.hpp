#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/bead.hpp"
#include "beadwise/finding.hpp"
#include "beadwise/job.hpp"
#include "beadwise/move.hpp"
#include "beadwise/profile.hpp"

namespace beadwise {

struct LayerStack;

/// How much of the model a check wants; each step includes those before it.
enum class Needs : std::uint8_t { moves, beads, stack };

/// A limit with its default, its meaning and the source that justifies it.
struct Threshold {
  std::string_view key;
  double built_in;
  std::string_view unit;
  std::string_view meaning;
  std::string_view source;
};

/// What the build knows about a check without running it.
struct Description {
  Needs needs = Needs::moves;
  std::vector<Severity> severities;
  std::vector<Symptom> symptoms;
  std::vector<Threshold> thresholds;
  bool judges_text = false;  ///< runs on files that are no print, too
};

/// A limit in use and where it came from.
struct Limit {
  double value = 0;
  Origin from = Origin::built_in;
};

/// What a check is made with; outlives the check.
struct CheckContext {
  std::string_view name;
  const Profile& profile;  ///< with what was guessed filled in
  const Description& description;

  /// The value in use of a threshold of this check. The key must be one of the description's.
  Limit limit(std::string_view key) const;
};

/// What is known when the file has been read to its end.
struct JobSummary {
  JobFigures figures;
  Settings settings;              ///< at the end
  Point end_mm;                   ///< where the head is at the end
  bool ends_inside_line = false;  ///< the last line has no line end
  std::string last_text;          ///< of the last line that is not blank, cut at 200 bytes
  std::uint64_t last_text_line = 0;
  /// What the file looks like where it is no material-extrusion print: "a milling program". Only the check
  /// `not-a-print` runs on such a file besides those that judge the text itself.
  std::optional<std::string> not_a_print;
  bool extruder_switched = false;  ///< M101 and M103 start and stop the extruder; E, if any, is no length
  EMisread e_misread = EMisread::no;
  std::optional<Move> first_drawn;  ///< the first motion that draws filament along
};

/// One risk, looked for in one pass. Override what you need.
/// One object serves one file and sees the print in order.
class Check {
 public:
  virtual ~Check() = default;
  virtual void on_moves(const MoveBatch&, Findings&) {}
  virtual void on_layer(const Layer&, Findings&) {}
  /// Of a check that needs `stack`: a layer once what lies on it is known; in the order of the file.
  virtual void on_stack(const LayerStack&, Findings&) {}
  virtual void on_end(const JobSummary&, Findings&) {}
  /// Asked after the end: why the check could not judge this file, where it could not.
  virtual std::optional<std::string> skipped() const { return std::nullopt; }
};

/// One row of the table that the build writes from the folders of `checks/`.
struct RegisteredCheck {
  std::string_view name;  ///< "dense-retraction"
  std::string_view page;  ///< its page.md
  const Description& (*describe)();
  std::unique_ptr<Check> (*make)(const CheckContext&);
};

/// All checks, in order of name.
std::span<const RegisteredCheck> all_checks();

/// The same, as the profile wants to know them.
std::vector<KnownCheck> known_checks();

/// The first line of a check's page after its title: what it looks for, in one sentence.
std::string_view summary_of(const RegisteredCheck& check);

}  // namespace beadwise
