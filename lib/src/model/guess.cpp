#include "model/guess.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/lower_case.hpp"
#include "base/plain_number.hpp"
#include "base/weighted_quantile.hpp"
#include "model/bead_geometry.hpp"

namespace beadwise {

namespace {

// Common practice: nozzles that are sold, the usual one first, with how unusual they are.
struct KnownNozzle {
  double diameter_mm;
  double unusual;
};
constexpr std::array nozzles{
    KnownNozzle{0.4, 0},   KnownNozzle{0.6, 0.8},  KnownNozzle{0.25, 1}, KnownNozzle{0.8, 1.2}, KnownNozzle{0.5, 1.5},
    KnownNozzle{0.3, 1.5}, KnownNozzle{0.35, 1.8}, KnownNozzle{0.2, 2},  KnownNozzle{1.0, 2},   KnownNozzle{1.2, 2.5}};
constexpr std::array filament_diameters_mm{1.75, 2.85};

// Common practice: a bead is laid 1.12 nozzles wide; 15 % off it weighs as much as one step of unusualness.
constexpr double usual_width_ratio = 1.12;
constexpr double width_step = 0.15;
// A bead outside of this is none that a nozzle lays (physics of the strand: docs/model.md).
constexpr double least_width_ratio = 0.7;
constexpr double most_width_ratio = 2.0;
constexpr double most_height_ratio = 0.9;
constexpr double thick_filament_unusual = 1;
constexpr double volume_unusual = 1.5;
// Too little to guess from: a test move is no print.
constexpr std::size_t least_beads = 30;
constexpr std::size_t most_samples = 200'000;
// Common practice: a guide tube is retracted 3 to 7 mm, a direct drive 0.5 to 2 mm.
constexpr std::int64_t bowden_hundredths = 250;

std::int64_t heaviest(const std::map<std::int64_t, double>& weights) {
  return std::max_element(weights.begin(), weights.end(),
                          [](const auto& a, const auto& b) { return a.second < b.second; })
      ->first;
}

// What a person stated or the file says; a built-in value is there to be replaced by a guess.
template <class T>
bool settled(const Setting<T>& setting) {
  return setting.known() && setting.from != Origin::built_in;
}

// The first number that stands in a text; 0 where there is none.
double number_in(std::string_view text) {
  const std::size_t begin = text.find_first_of("0123456789");
  if (begin == std::string_view::npos) return 0;
  const std::string_view from_digit = text.substr(begin);
  std::string_view number = from_digit.substr(0, from_digit.find_first_not_of("0123456789."));
  // A second point belongs to the sentence or to a version.
  const std::size_t second_point =
      number.find('.', number.find('.') == std::string_view::npos ? 0 : number.find('.') + 1);
  return plain_number(number.substr(0, second_point)).value_or(0);
}

}  // namespace

struct Evidence::Reading {
  double nozzle_mm = 0.4;
  double filament_mm = 1.75;
  EUnit unit = EUnit::mm;
  double width_mm = 0;
  double cost = 1e9;
  bool plausible = false;
};

void Evidence::on_moves(const MoveBatch& batch) {
  for (const Move& move : batch.moves) {
    const Settings& settings = batch.settings_of(move);
    double& pulled_mm = open_pull_mm_[settings.tool];
    if (move.filament_mm < 0) pulled_mm -= move.filament_mm;
    if (move.filament_mm > 0 && pulled_mm > 0) {
      if (pulled_mm > 0.05) ++retractions_[std::llround(pulled_mm * 100)];
      pulled_mm = 0;
    }
    if (move.kind != MoveKind::bead) continue;
    if (const double celsius = settings.tool_c(); celsius > 0)
      nozzle_set_points_[std::llround(celsius * 10)] += move.path_mm;
    if (settings.bed_c > 0) bed_set_points_[std::llround(settings.bed_c * 10)] += move.path_mm;
  }
  for (const Event& event : batch.events)
    if (event.kind == EventKind::firmware_retraction && event.value > 0)
      ++retractions_[std::llround(event.value * 100)];
}

void Evidence::on_layer(const Layer& layer) {
  ++layers_;
  for (const Bead& bead : layer.beads)
    if (bead.area_mm2 > 0 && bead.path_mm > 0 && samples_.size() < most_samples)
      samples_.push_back({bead.area_mm2, layer.height_mm, bead.path_mm});
}

void Evidence::on_comment(std::string_view comment, std::uint64_t line) {
  constexpr std::size_t longest = 120;
  if (comment.size() > longest || comment.find("iameter") == std::string_view::npos) return;
  const std::string text = lower_case(std::string(comment));
  const std::size_t diameter = text.find("diameter");
  if (diameter == std::string::npos) return;
  const double value = number_in(std::string_view(text).substr(diameter));
  constexpr Range nozzle_mm{0.1, 2};
  constexpr Range filament_mm{1.5, 3.2};
  if (text.find("nozzle") != std::string::npos && nozzle_.line == 0 && value >= nozzle_mm.low &&
      value <= nozzle_mm.high)
    nozzle_ = {value, line};
  else if (text.find("filament") != std::string::npos && filament_.line == 0 && value >= filament_mm.low &&
           value <= filament_mm.high)
    filament_ = {value, line};
}

double Evidence::typical_width_mm(double area_factor) const {
  std::vector<Weighted> widths;
  widths.reserve(samples_.size());
  for (const Sample& sample : samples_)
    widths.push_back({bead_width_mm(sample.area_mm2 * area_factor, sample.height_mm), sample.path_mm});
  return weighted_quantile(widths, 0.5);
}

double Evidence::typical_height_mm() const {
  std::vector<Weighted> heights;
  heights.reserve(samples_.size());
  for (const Sample& sample : samples_) heights.push_back({sample.height_mm, sample.path_mm});
  return weighted_quantile(heights, 0.5);
}

Evidence::Reading Evidence::best_reading(const MachineProfile& machine) const {
  Reading best;
  const double height_mm = typical_height_mm();
  for (const double filament_mm : filament_diameters_mm) {
    for (const EUnit unit : {EUnit::mm, EUnit::mm3}) {
      const double used_mm = settled(machine.filament_diameter_mm) ? *machine.filament_diameter_mm : filament_mm;
      if (settled(machine.e_unit) && unit != *machine.e_unit) continue;
      if (unit == EUnit::mm3 && m200_diameter_mm_ > 0) continue;
      const double factor = unit == EUnit::mm3 ? 1 / circle_area_mm2(assumed_diameter_mm)
                                               : circle_area_mm2(used_mm) / circle_area_mm2(assumed_diameter_mm);
      const double width_mm = typical_width_mm(factor);
      for (const KnownNozzle& nozzle : nozzles) {
        const double nozzle_mm = settled(machine.nozzle_diameter_mm) ? *machine.nozzle_diameter_mm : nozzle.diameter_mm;
        const double ratio = width_mm / nozzle_mm;
        const bool plausible =
            ratio >= least_width_ratio && ratio <= most_width_ratio && height_mm <= most_height_ratio * nozzle_mm;
        if (!plausible) continue;
        double cost = std::abs(std::log(ratio / usual_width_ratio)) / width_step;
        if (!settled(machine.nozzle_diameter_mm)) cost += nozzle.unusual;
        if (!settled(machine.filament_diameter_mm) && filament_mm > assumed_diameter_mm) cost += thick_filament_unusual;
        // A volume does not ask for the diameter: the usual one does.
        if (unit == EUnit::mm3) cost += volume_unusual + (filament_mm > assumed_diameter_mm ? 1 : 0);
        if (cost < best.cost) best = {nozzle_mm, used_mm, unit, width_mm, cost, true};
      }
    }
  }
  return best;
}

void Evidence::fill_beads(MachineProfile& machine) const {
  if (!machine.nozzle_diameter_mm.stated() && nozzle_.line > 0)
    machine.nozzle_diameter_mm = {nozzle_.value_mm, Origin::file,
                                  fmt::format("the comment on line {} names it", nozzle_.line)};
  if (!machine.filament_diameter_mm.stated() && m200_diameter_mm_ > 0)
    machine.filament_diameter_mm = {m200_diameter_mm_, Origin::file, "M200 names it"};
  else if (!machine.filament_diameter_mm.stated() && filament_.line > 0)
    machine.filament_diameter_mm = {filament_.value_mm, Origin::file,
                                    fmt::format("the comment on line {} names it", filament_.line)};

  const auto unless_known = [](auto& setting, auto value, Origin from, std::string because) {
    if (!settled(setting)) setting = {value, from, std::move(because)};
  };
  const bool enough = samples_.size() >= least_beads;
  const Reading reading = enough ? best_reading(machine) : Reading{};
  if (enough && !reading.plausible && !settled(machine.e_unit)) {
    // A job for another nozzle or filament than the one stated still says what its E is.
    MachineProfile other = machine;
    other.nozzle_diameter_mm = {};
    if (!best_reading(other).plausible) other.filament_diameter_mm = {};
    if (const Reading elsewhere = best_reading(other); elsewhere.plausible) {
      machine.e_unit = {elsewhere.unit, Origin::file,
                        fmt::format("so read, the beads suit a {:g} mm nozzle and {:g} mm filament, not what is stated",
                                    elsewhere.nozzle_mm, elsewhere.filament_mm)};
    }
  }
  if (enough && !reading.plausible && !settled(machine.e_unit)) {
    const std::string because = fmt::format(
        "read as a length of filament, E gives beads {:.2f} mm wide at {:.2f} mm height, and no other reading fits a "
        "nozzle either",
        typical_width_mm(1), typical_height_mm());
    unless_known(machine.e_unit, EUnit::neither, Origin::file, because);
    unless_known(machine.nozzle_diameter_mm, 0.4, Origin::built_in, "the usual nozzle; the beads tell nothing");
    unless_known(machine.filament_diameter_mm, assumed_diameter_mm, Origin::built_in,
                 "the usual filament; the beads tell nothing");
    return;
  }
  const Origin from = enough ? Origin::file : Origin::built_in;
  const std::string because = enough ? fmt::format("so read, the beads are {:.2f} mm wide at {:.2f} mm height",
                                                   reading.width_mm, typical_height_mm())
                                     : "the usual one; the file lays too few beads to tell";
  unless_known(machine.e_unit, reading.unit, from, because);
  unless_known(machine.nozzle_diameter_mm, reading.nozzle_mm, from, because);
  unless_known(machine.filament_diameter_mm, reading.filament_mm, from, because);
}

void Evidence::fill_drive(MachineProfile& machine) const {
  if (settled(machine.drive)) return;
  if (retractions_.empty()) {
    apply_drive(machine, Drive::direct, Origin::built_in, "the file pulls no filament back, so nothing tells");
    return;
  }
  const auto usual = std::max_element(retractions_.begin(), retractions_.end(),
                                      [](const auto& a, const auto& b) { return a.second < b.second; });
  apply_drive(machine, usual->first >= bowden_hundredths ? Drive::bowden : Drive::direct, Origin::file,
              fmt::format("the most frequent retraction is {:.2f} mm", static_cast<double>(usual->first) / 100));
}

void Evidence::fill_material(FilamentProfile& filament) const {
  if (settled(filament.material) || nozzle_set_points_.empty()) return;
  const double nozzle_c = static_cast<double>(heaviest(nozzle_set_points_)) / 10;
  const bool has_bed = !bed_set_points_.empty();
  const double bed_c = has_bed ? static_cast<double>(heaviest(bed_set_points_)) / 10 : 0;
  std::vector<std::string> fitting;
  for (const Material& material : built_in_materials()) {
    const bool nozzle_fits = nozzle_c >= material.nozzle_c.low && nozzle_c <= material.nozzle_c.high;
    const bool bed_fits = !has_bed || (bed_c >= material.bed_c.low && bed_c <= material.bed_c.high);
    if (nozzle_fits && bed_fits) fitting.push_back(material.name);
  }
  if (fitting.empty()) return;
  choose_material(filament, fitting, Origin::file,
                  has_bed
                      ? fmt::format("the set points are {:g} °C at the nozzle and {:g} °C at the bed", nozzle_c, bed_c)
                      : fmt::format("the set point of the nozzle is {:g} °C", nozzle_c));
}

void Evidence::fill(Profile& profile) const {
  fill_beads(profile.machine);
  fill_drive(profile.machine);
  fill_material(profile.filament);
}

}  // namespace beadwise
