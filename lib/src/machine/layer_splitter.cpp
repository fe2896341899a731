#include "machine/layer_splitter.hpp"

#include <cmath>
#include <numbers>

namespace beadwise {

namespace {

// Contract of the figure `layers`: docs/figures.md.
constexpr double same_height_mm = 1e-3;
constexpr std::size_t spiral_beads = 10;
// Sums of decimal coordinates are off by rounding: a height that is reached to a hundredth of a micrometre is reached.
constexpr double rounding_mm = 1e-5;

double climb_of(const Move& move) { return move.to_mm.z - move.from_mm.z; }

double wrapped(double angle_rad) { return std::remainder(angle_rad, 2 * std::numbers::pi); }

}  // namespace

void LayerSplitter::number(std::vector<Move>& moves, const std::vector<Arc>& arcs, std::size_t first) {
  for (std::size_t i = first; i < moves.size(); ++i) {
    if (moves[i].kind == MoveKind::bead) number_bead(moves, arcs, i);
    if (waiting_.empty()) fill_between(moves, i + 1);
  }
}

void LayerSplitter::number_bead(std::vector<Move>& moves, const std::vector<Arc>& arcs, std::size_t index) {
  Move& bead = moves[index];
  // A spiral goes on where the bead before ended; a lift or a fall in between ends it.
  const bool goes_on = climb_of(bead) > -1e-9 && std::abs(bead.from_mm.z - bead_z_mm_) <= same_height_mm;
  if (spiral_) {
    if (goes_on) {
      fill_between(moves, index);
      place_in_spiral(bead, arcs);
      return;
    }
    spiral_ = false;
  }
  if (climb_of(bead) > 1e-9) {
    if (!goes_on) decide(moves);
    waiting_.push_back(index);
    bead_z_mm_ = bead.to_mm.z;
    if (waiting_.size() == spiral_beads) begin_spiral(moves, arcs);
    return;
  }
  decide(moves);
  fill_between(moves, index);
  place_flat(bead);
}

void LayerSplitter::place_flat(Move& bead) {
  const double z = bead.to_mm.z;
  if (layer_ == 0 || std::abs(z - layer_z_mm_) > same_height_mm) begin_layer(z);
  layer_z_mm_ = z;
  bead_z_mm_ = z;
  bead.layer = layer_;
}

void LayerSplitter::begin_layer(double z_mm) {
  flat_height_mm_ = layer_ > 0 && layer_z_mm_ < z_mm ? z_mm - layer_z_mm_ : z_mm;
  ++layer_;
}

void LayerSplitter::place_in_spiral(Move& bead, const std::vector<Arc>& arcs) {
  bead.spiral = true;
  const double dx = bead.to_mm.x - bead.from_mm.x;
  const double dy = bead.to_mm.y - bead.from_mm.y;
  const Arc* arc = bead.arc >= 0 ? &arcs[static_cast<std::size_t>(bead.arc)] : nullptr;
  const double quarter = arc != nullptr && arc->sweep_rad < 0 ? -std::numbers::pi / 2 : std::numbers::pi / 2;
  const double entry_rad = arc != nullptr ? arc->start_rad + quarter : std::atan2(dy, dx);
  if (has_heading_) turned_rad_ += wrapped(entry_rad - heading_rad_);
  heading_rad_ = arc != nullptr ? entry_rad + arc->sweep_rad : entry_rad;
  has_heading_ = true;

  constexpr double full_turn = 2 * std::numbers::pi - 1e-6;
  if (spiral_height_mm_ <= 0 && std::abs(turned_rad_) >= full_turn) {
    spiral_height_mm_ = bead.from_mm.z - spiral_floor_mm_;
    layer_full_ = true;
    spiral_floor_mm_ = bead.from_mm.z;
  }
  if (layer_full_) {
    ++layer_;
    layer_full_ = false;
  }
  bead.layer = layer_;
  if (arc != nullptr) turned_rad_ += arc->sweep_rad;
  if (spiral_height_mm_ <= 0 && std::abs(turned_rad_) >= full_turn) spiral_height_mm_ = bead.to_mm.z - spiral_floor_mm_;
  const double climbed = bead.to_mm.z - spiral_floor_mm_;
  if (spiral_height_mm_ > 0 && climbed >= spiral_height_mm_ - rounding_mm) {
    layer_full_ = true;
    spiral_floor_mm_ += spiral_height_mm_ * std::floor((climbed + rounding_mm) / spiral_height_mm_);
  }
  bead_z_mm_ = bead.to_mm.z;
  layer_z_mm_ = bead.to_mm.z;
}

void LayerSplitter::begin_spiral(std::vector<Move>& moves, const std::vector<Arc>& arcs) {
  spiral_ = true;
  spiral_floor_mm_ = moves[waiting_.front()].from_mm.z;
  spiral_height_mm_ = flat_height_mm_;
  turned_rad_ = 0;
  has_heading_ = false;
  layer_full_ = true;
  for (const std::size_t index : waiting_) {
    fill_between(moves, index);
    place_in_spiral(moves[index], arcs);
  }
  fill_between(moves, waiting_.back() + 1);
  waiting_.clear();
}

void LayerSplitter::decide(std::vector<Move>& moves) {
  for (const std::size_t index : waiting_) {
    fill_between(moves, index);
    place_flat(moves[index]);
  }
  waiting_.clear();
}

void LayerSplitter::fill_between(std::vector<Move>& moves, std::size_t index) {
  for (; numbered_ < index; ++numbered_)
    if (moves[numbered_].kind != MoveKind::bead) moves[numbered_].layer = layer_;
}

void LayerSplitter::forget(std::size_t count) {
  for (std::size_t& index : waiting_) index -= count;
  numbered_ -= count;
}

}  // namespace beadwise
