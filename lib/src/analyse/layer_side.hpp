#pragma once

#include <span>
#include <vector>

#include "analyse/running.hpp"
#include "beadwise/profile.hpp"
#include "model/layer_builder.hpp"
#include "model/layer_stack.hpp"
#include "model/object_stack.hpp"
#include "model/travel_log.hpp"

namespace beadwise {

/// The half of an analysis that sees a job as layers: gathers its beads, stacks its layers, finds its objects and runs
/// the checks that need them. Touches nothing of the other half, so that it may follow on a thread of its own.
class LayerSide {
 public:
  /// Which parts are wanted though no check needs them.
  struct Wanted {
    bool layers = false;
    bool stack = false;
    bool heights = false;  ///< of every layer
  };

  LayerSide(const Profile& profile, Wanted wanted);

  /// Before the first moves: a check that needs beads or more.
  void add(Running running);

  /// Whether there is anything to do.
  bool wanted() const { return wanted_.layers; }
  void on_moves(const MoveBatch& batch);
  /// No more moves come.
  void finish();

  /// Of the layers that are complete, the most beads that one has: they are judged at once.
  std::size_t most_beads() const { return most_beads_; }
  std::span<Running> running() { return running_; }
  /// After the end.
  const ObjectStack& objects() const { return objects_; }
  const std::vector<double>& heights_mm() const { return heights_mm_; }  ///< in order, if wanted

 private:
  void on_layer(Layer& layer);
  void on_stack(const LayerStack& stack);

  Wanted wanted_;
  std::vector<Running> running_;
  TravelLog travels_;
  LayerBuilder layers_;
  LayerStacker stacker_;
  ObjectStack objects_;
  std::vector<double> heights_mm_;
  std::size_t most_beads_ = 0;
};

}  // namespace beadwise
