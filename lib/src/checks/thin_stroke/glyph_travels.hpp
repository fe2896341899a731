#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "beadwise/profile.hpp"
#include "checks/support/passage.hpp"
#include "checks/support/pull_back.hpp"
#include "checks/support/travel_cover.hpp"
#include "checks/thin_stroke/letter_line.hpp"
#include "model/role_kinds.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::thin_stroke {

/// Looks at the ways from glyph to glyph: what is pulled back, how high they are, what they pass over. What counts as
/// contact and as open air is the same as for travels over any other part of a print.
class GlyphTravels {
 public:
  explicit GlyphTravels(const MachineProfile& machine)
      : enough_mm_(is_bowden(machine) ? PullBackLengths::enough_bowden_mm : PullBackLengths::enough_direct_mm) {}

  double enough_mm() const { return enough_mm_; }
  /// Lengths of the whole file that are enough.
  const TypicalValue& pulled_mm() const { return pulled_mm_; }

  /// For every layer, with letters or without: what the file usually pulls back.
  void note_pulled(const IndexedLayer& layer) {
    const std::vector<Travel>& travels = layer.travels;
    for (std::size_t first = 0; first < travels.size();) {
      double owed_mm = 0;
      const std::uint32_t beads_before = travels[first].beads_before;
      for (; first < travels.size() && travels[first].beads_before == beads_before; ++first)
        owed_mm = std::max(owed_mm, travels[first].owed_mm);
      if (owed_mm >= enough_mm_) pulled_mm_.add(owed_mm, 1);
    }
  }

  void count(const IndexedLayer& layer, const Passage& passage, GlyphPassages& passages) {
    const Layer& laid = layer.layer;
    bool pulled = false;
    bool low = false;
    bool dragged = false;
    double open_mm = 0;
    for (const Travel& travel : passage.travels) {
      pulled = pulled || travel.owed_mm > 0 || travel.pulled_by_machine;
      if (!is_pulled_enough(travel))
        for (const OpenPart& part : cover_.open(layer, travel, shortest_open_mm))
          open_mm += (part.span.to - part.span.from) * plane_mm(travel);
      const auto contact =
          part_between(travel, laid.z_mm - laid.height_mm / 2, laid.z_mm + std::max(least_lift_mm, laid.height_mm / 2));
      if (!contact || stays_near_ends(passage, travel)) continue;
      low = true;
      for (const Covered& part : cover_.laid(layer, passage, travel, *contact))
        dragged = dragged || !is_around_part(layer.roles[part.bead]);
    }
    ++passages.all;
    passages.pulled_back += pulled ? 1 : 0;
    passages.low += low ? 1 : 0;
    passages.dragged += dragged ? 1 : 0;
    passages.open += open_mm >= crossing_mm ? 1 : 0;
  }

 private:
  static constexpr double least_lift_mm = 0.1;
  static constexpr double shortest_open_mm = 1;
  static constexpr double crossing_mm = 2;
  static constexpr double rounding_mm = 1e-6;

  bool is_pulled_enough(const Travel& travel) const {
    return travel.pulled_by_machine || travel.owed_mm - std::min(travel.filament_mm, 0.0) >= enough_mm_ - rounding_mm;
  }

  double enough_mm_;
  TypicalValue pulled_mm_;
  TravelCover cover_;
};

}  // namespace beadwise::checks::thin_stroke
