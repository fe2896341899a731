#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <vector>

#include "beadwise/bead.hpp"
#include "beadwise/job.hpp"
#include "beadwise/move.hpp"
#include "model/filament_line.hpp"
#include "model/flow_window.hpp"

namespace beadwise {

/// Counts the figures of a job as its moves go by. Definitions: docs/figures.md.
class FigureCounter {
 public:
  explicit FigureCounter(double filament_diameter_mm);

  void on_moves(const MoveBatch& batch);

  /// After the last batch. `bytes`, `lines` and the mass are left to the caller.
  JobFigures figures();

  /// The figures of each layer, where they were asked for.
  void keep_layers(bool keep) { keep_layers_ = keep; }
  const std::vector<LayerFigures>& layers() const { return layers_; }

 private:
  void on_event(const Event& event);
  void on_move(const MoveBatch& batch, const Move& move);
  void count_retraction(const Move& move, std::uint8_t tool);
  void count_reversals(const Move& move);
  void count_flow(const Move& move);
  void count_in_layer(const Move& move);

  double filament_area_mm2_;
  JobFigures figures_;
  Box bounds_;
  FilamentLine filament_line_;
  FlowWindow flow_;
  std::array<bool, 64> pulled_back_{};  ///< per tool: a retraction is open
  double last_dx_ = 0;
  double last_dy_ = 0;
  bool keep_layers_ = false;
  std::vector<LayerFigures> layers_;
};

}  // namespace beadwise
