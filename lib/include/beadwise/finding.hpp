#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/profile.hpp"

namespace beadwise {

/// What a person sees on the failed print.
enum class Symptom : std::uint8_t {
  stringing,
  clogging,
  under_extrusion,
  blobs,
  weak_layers,
  illegible_text,
  scarring,
  rough_top,
  rough_first_layer,
  knocked_loose,
  warping,
  sagging,
  tube_pushed_out,
  runout,
};

/// All of them, in the order of the enumeration.
inline constexpr std::array<Symptom, 14> all_symptoms = {
    Symptom::stringing,         Symptom::clogging,       Symptom::under_extrusion, Symptom::blobs,
    Symptom::weak_layers,       Symptom::illegible_text, Symptom::scarring,        Symptom::rough_top,
    Symptom::rough_first_layer, Symptom::knocked_loose,  Symptom::warping,         Symptom::sagging,
    Symptom::tube_pushed_out,   Symptom::runout,
};

/// "stringing", "under-extrusion", …
std::string_view to_string(Symptom symptom);

/// One place where a finding holds.
struct Place {
  std::uint64_t line = 0;   ///< 0 where it has none
  std::uint32_t layer = 0;  ///< 0 where it has none
  double x_mm = 0;
  double y_mm = 0;
  double z_mm = 0;
  bool has_position = false;
  double value = 0;  ///< in the unit of `Measured`; the larger, the worse
};

/// What was measured against which limit.
struct Measured {
  double value = 0;
  double limit = 0;
  std::string unit;
  Origin limit_from = Origin::built_in;
};

/// A line to be drawn on the picture of a layer: what a travel crosses, what spans, a stroke that is too thin.
struct Mark {
  std::uint32_t layer = 0;  ///< from 1
  std::vector<std::array<double, 2>> points_mm;
  double width_mm = 0;  ///< 0: a thin line
  double value = 0;     ///< the larger, the worse
};

/// The most marks that a finding keeps, and the most points of one.
inline constexpr std::size_t max_marks = 64;
inline constexpr std::size_t max_mark_points = 256;

/// Puts a mark among those of a finding; of more than `max_marks` the worst stay, of equals the earlier. One of more
/// than `max_mark_points` points is thinned evenly; its ends stay.
void keep_mark(std::vector<Mark>& marks, Mark mark);

/// The most places that a finding keeps.
inline constexpr std::size_t max_places = 20;

/// What many places amount to, as a report tells it.
struct PlacesSpan {
  std::uint64_t count = 0;
  std::uint64_t first_line = 0;  ///< 0 where they have none
  std::uint64_t last_line = 0;
  std::uint32_t first_layer = 0;  ///< 0 where they have none
  std::uint32_t last_layer = 0;
  bool has_box = false;
  std::array<double, 3> low_mm{};
  std::array<double, 3> high_mm{};
};

/// Counts places and keeps the worst of them, with the span of their lines, layers and positions.
class Places {
 public:
  Places() = default;
  /// Those that a report told: what all of them span, and the worst of them.
  Places(const PlacesSpan& span, const std::vector<Place>& worst);

  void add(const Place& place);
  /// As if every one of `others` were added.
  void add(const Places& others);

  std::uint64_t count() const { return count_; }
  bool empty() const { return count_ == 0; }
  std::uint64_t first_line() const { return first_line_; }
  std::uint64_t last_line() const { return last_line_; }
  std::uint32_t first_layer() const { return first_layer_; }
  std::uint32_t last_layer() const { return last_layer_; }
  bool has_box() const { return has_box_; }
  double low(int axis) const { return low_[axis]; }
  double high(int axis) const { return high_[axis]; }
  /// The worst first; of equals the earlier line first.
  std::vector<Place> worst() const;
  double worst_value() const;

 private:
  void keep(const Place& place);

  std::uint64_t count_ = 0;
  std::uint64_t first_line_ = 0;
  std::uint64_t last_line_ = 0;
  std::uint32_t first_layer_ = 0;
  std::uint32_t last_layer_ = 0;
  bool has_box_ = false;
  double low_[3] = {0, 0, 0};
  double high_[3] = {0, 0, 0};
  std::vector<Place> worst_;  ///< a heap, the least bad on top
};

/// That somebody knows of a finding and lets it stand. It is told all the same, but no longer counts for the verdict.
struct Acceptance {
  std::string because;  ///< the reason given; empty where a baseline gives none
  std::string from;     ///< where it is accepted: "beadwise.toml:12", or the name of the baseline
  bool in_profile = false;
};

/// One answer of a check: one thing to act on.
struct Finding {
  std::string check;
  Severity severity = Severity::note;
  std::vector<Symptom> symptoms;
  std::string what;  ///< with this file's figures
  std::string why;
  std::string remedy;  ///< what to do now, with figures
  std::string key;     ///< names the thing found so that a re-sliced file gives the same one; no line numbers in it
  std::optional<Measured> measured;
  Places places;
  /// Numbers of the objects that its worst places lie on, ascending; filled at the end, not by the check.
  std::vector<std::uint32_t> objects;
  std::vector<Mark> marks;  ///< by `keep_mark`; places with positions are drawn without any
  std::string fingerprint;  ///< filled by `Findings`
  std::optional<Acceptance> accepted;
};

/// Where the checks put what they found.
class Findings {
 public:
  /// A finding of the check now running.
  void add(Finding finding);

  /// Sorted: worst severity first, then place, then check; with fingerprints.
  std::vector<Finding> take();

 private:
  std::vector<Finding> findings_;
};

}  // namespace beadwise
