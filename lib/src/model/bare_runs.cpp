#include "model/bare_runs.hpp"

#include <algorithm>
#include <cmath>

#include "model/track_samples.hpp"

namespace beadwise {

namespace {

PlanePoint on_piece(const Footprint& piece, double share) {
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

}  // namespace

double BareRun::span_mm() const { return distance_mm(from, to) + ends_mm; }

void BareRuns::begin(const IndexedLayer& layer, std::uint32_t track, const std::vector<BareRun>& into) {
  layer_ = &layer;
  track_ = track;
  const FootprintRun pieces = footprints_of(layer.index, layer.tracks[track].first, layer.tracks[track].count);
  first_ = static_cast<std::uint32_t>(pieces.first - layer.index.footprints().data());
  last_ = static_cast<std::uint32_t>(pieces.last - layer.index.footprints().data());
  first_run_ = into.size();
  open_ = false;
  begins_bare_ = false;
  ends_bare_ = false;
  lifted_off_ = false;
  touches_ = false;
}

void BareRuns::land(std::vector<BareRun>& into) {
  touches_ = true;
  if (open_) close(true, into);
  lifted_off_ = true;
}

void BareRuns::look_along(std::uint32_t piece, std::vector<BareRun>& into) {
  const Footprint& footprint = layer_->index.footprints()[piece];
  const double length_mm = distance_mm(footprint.from(), footprint.to());
  support_.bare_parts(footprint, margin_widths * 2 * footprint.half_mm(), parts_);
  if (parts_.empty()) return land(into);
  for (const Span& part : parts_) {
    if (part.from > 0) land(into);
    if (!open_) {
      open_ = true;
      begins_bare_ = begins_bare_ || (piece == first_ && part.from == 0);
      run_ = {};
      run_.track = track_;
      run_.first_piece = piece;
      run_.first_share = part.from;
      run_.from = on_piece(footprint, part.from);
    }
    run_.last_piece = piece;
    run_.last_share = part.to;
    run_.to = on_piece(footprint, part.to);
    run_.length_mm += (part.to - part.from) * length_mm;
    if (part.to < 1) land(into);
  }
}

void BareRuns::close(bool landed, std::vector<BareRun>& into) {
  const auto& pieces = layer_->index.footprints();
  const double from_width_mm = 2 * pieces[run_.first_piece].half_mm();
  const double to_width_mm = 2 * pieces[run_.last_piece].half_mm();
  open_ = false;
  bool anchored = true;
  if (lifted_off_)
    run_.ends_mm += margin_widths * from_width_mm;
  else
    anchored = anchor(run_.from, from_width_mm);
  if (landed)
    run_.ends_mm += margin_widths * to_width_mm;
  else
    anchored = anchor(run_.to, to_width_mm) && anchored;
  run_.anchored = anchored;
  into.push_back(run_);
}

bool BareRuns::anchor(PlanePoint end, double width_mm) {
  const double most_mm = anchor_widths * width_mm;
  const double left_mm = support_.distance_mm(end, most_mm);
  run_.ends_mm += left_mm;
  return left_mm < most_mm;
}

void BareRuns::end(std::vector<BareRun>& into) {
  ends_bare_ = open_;
  if (open_) close(false, into);
  const bool through_seam = layer_->tracks[track_].closed && begins_bare_ && ends_bare_;
  if (through_seam && into.size() > first_run_ + 1) join_at_seam(into);
  for (std::size_t i = first_run_; i < into.size(); ++i) into[i].bow_mm = bow_of(into[i]);
}

void BareRuns::join_at_seam(std::vector<BareRun>& into) {
  BareRun& first = into[first_run_];
  const BareRun& last = into.back();
  first.first_piece = last.first_piece;
  first.first_share = last.first_share;
  first.from = last.from;
  first.length_mm += last.length_mm;
  // Away from the seam both ended on what carries.
  const auto& pieces = layer_->index.footprints();
  first.ends_mm = margin_widths * 2 * (pieces[first.first_piece].half_mm() + pieces[first.last_piece].half_mm());
  first.anchored = true;
  into.pop_back();
}

double BareRuns::bow_of(const BareRun& run) const {
  double bow_mm2 = 0;
  const auto& pieces = layer_->index.footprints();
  for (std::uint32_t i = run.first_piece; i != run.last_piece;) {
    const PlanePoint corner = pieces[i].to();
    bow_mm2 = std::max(bow_mm2, squared_distance_mm2(corner, run.from, run.to));
    i = i + 1 < last_ ? i + 1 : first_;
  }
  return std::sqrt(bow_mm2);
}

}  // namespace beadwise
