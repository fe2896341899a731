#include "analyse/wanted_layers.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

constexpr std::size_t layers_per_finding = 3;
constexpr std::size_t most_layers = 60;
// Ranks of layers that nothing was found on begin behind all others.
constexpr std::uint32_t first_plain_rank = 1'000'000;
constexpr std::uint32_t bits = 32;

/// The layers to draw of one finding, the worst first.
std::vector<std::uint32_t> layers_of(const Finding& finding) {
  std::vector<std::uint32_t> layers;
  const auto take = [&](std::uint32_t layer) {
    if (layer == 0 || layers.size() >= layers_per_finding) return;
    if (std::find(layers.begin(), layers.end(), layer) == layers.end()) layers.push_back(layer);
  };
  for (const Place& place : finding.places.worst()) take(place.layer);
  for (const Mark& mark : finding.marks) take(mark.layer);
  return layers;
}

std::uint32_t times_halved(std::uint32_t layer) {
  std::uint32_t times = 0;
  for (; layer != 0 && layer % 2 == 0; layer /= 2) ++times;
  return times;
}

}  // namespace

std::int32_t picture_units(double mm) {
  constexpr double hundredths = 100;
  // 100 m: a broken number is drawn no farther away.
  constexpr double farthest = 1e7;
  if (!std::isfinite(mm)) return 0;
  return static_cast<std::int32_t>(std::lround(std::clamp(mm * hundredths, -farthest, farthest)));
}

WantedLayers::WantedLayers(std::span<const Finding> findings, ReportData data) : all_(data == ReportData::full) {
  // Every finding's worst layer comes before any finding's second.
  for (std::size_t turn = 0; turn < layers_per_finding; ++turn) {
    for (std::size_t i = 0; i < findings.size(); ++i) {
      const std::vector<std::uint32_t> layers = layers_of(findings[i]);
      if (turn >= layers.size()) continue;
      const auto rank = static_cast<std::uint32_t>(turn * findings.size() + i);
      add(layers[turn], rank);
      if (layers[turn] > 1) add(layers[turn] - 1, rank);
    }
  }
  for (const Finding& finding : findings) {
    for (const Place& place : finding.places.worst())
      if (place.has_position && wants(place.layer))
        places_[place.layer].push_back({picture_units(place.x_mm), picture_units(place.y_mm)});
    for (const Mark& mark : finding.marks)
      for (const auto& point : mark.points_mm)
        if (wants(mark.layer)) places_[mark.layer].push_back({picture_units(point[0]), picture_units(point[1])});
  }
}

void WantedLayers::add(std::uint32_t layer, std::uint32_t rank) {
  if (ranks_.size() < most_layers || ranks_.count(layer) != 0) ranks_.emplace(layer, rank);
}

std::uint32_t WantedLayers::rank(std::uint32_t layer) const {
  const auto found = ranks_.find(layer);
  return found != ranks_.end() ? found->second : first_plain_rank + bits - times_halved(layer);
}

std::span<const PicturePoint> WantedLayers::places_on(std::uint32_t layer) const {
  // The layer below a finding is drawn around the same places.
  for (const std::uint32_t one : {layer, layer + 1}) {
    const auto found = places_.find(one);
    if (found != places_.end()) return found->second;
  }
  return {};
}

}  // namespace beadwise
