#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/wording.hpp"
#include "model/bead_cooling.hpp"
#include "model/bead_path.hpp"
#include "model/return_times.hpp"
#include "model/role_kinds.hpp"

namespace beadwise::checks::short_layer_time {

const Description& describe() {
  static const Description description{
      .needs = Needs::beads,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::sagging},
      .thresholds = {
          {.key = "note_layers",
           .built_in = 3,
           .unit = "layers",
           .meaning = "so many layers on end that come too soon are worth knowing",
           .source = "common practice: one or two stay in shape on the cold part below them"},
          {.key = "warning_layers",
           .built_in = 5,
           .unit = "layers",
           .meaning = "so many on end are likely to show",
           .source = "common practice: a millimetre of soft plastic"},
          {.key = "first_layers",
           .built_in = 3,
           .unit = "layers",
           .meaning = "so many layers over the plate are left out: it carries them, and the fan is off on purpose",
           .source = "common practice"},
          {.key = "ambient_c",
           .built_in = 30,
           .unit = "°C",
           .meaning = "the air around the part where no chamber is known",
           .source = "common practice: a room, warmed by the machine"},
          {.key = "still_air_w_per_m2_k",
           .built_in = 20,
           .unit = "W/m²K",
           .meaning = "heat transfer from a bead to the air with the fan off",
           .source = "free convection and radiation of a hot thin strand; between the values with which the road model "
                     "was fitted to measurements (Li et al. 2002, J. Manuf. Process. 4:129; Sun et al. 2008, Rapid "
                     "Prototyp. J. 14:72; from memory)"},
          {.key = "fan_w_per_m2_k",
           .built_in = 80,
           .unit = "W/m²K",
           .meaning = "what the part-cooling fan adds at full speed",
           .source = "the same: 50 to 100 W/m²K in moving air"},
          {.key = "heat_capacity_j_per_kg_k",
           .built_in = 1900,
           .unit = "J/kgK",
           .meaning = "specific heat of the plastic between nozzle and glass transition",
           .source = "1680 to 2350 for PP between 20 °C and the melt; 2060 for PLA and 2080 for ABS as melts, 1200 to "
                     "1300 as solids (Farah et al. 2016, Adv. Drug Deliv. Rev. 107:367; Rodriguez et al. 2000, Rapid "
                     "Prototyp. J. 6; from memory)"},
          {.key = "melting_gap_c",
           .built_in = 100,
           .unit = "°C",
           .meaning =
               "a plastic that flows only so far above its glass transition sets by crystallising, from where it "
               "flows",
           .source = "derived from the built-in materials: 51 to 82 °C for those that set as a glass, 133 °C and more "
                     "for PA12, PP and TPU"}}};
  return description;
}

namespace {

/// A plastic that the file may be printed with.
struct Plastic {
  std::string name;
  double density_g_per_cm3 = 0;
  double sets_at_c = 0;
  bool crystallises = false;
};

std::vector<std::string> names_in(std::string_view joined) {
  constexpr std::string_view joint = " or ";
  std::vector<std::string> names;
  for (;;) {
    const std::size_t end = joined.find(joint);
    names.emplace_back(joined.substr(0, end));
    if (end == std::string_view::npos) return names;
    joined.remove_prefix(end + joint.size());
  }
}

Plastic plastic_of(const FilamentProfile& filament, const Material* material, double melting_gap_c) {
  const auto value = [&](const Setting<double>& setting, double Material::*member) {
    if (material == nullptr || setting.stated()) return setting.value.value_or(0);
    return material->*member;
  };
  Plastic plastic;
  plastic.name = material != nullptr ? material->name : "the filament";
  plastic.density_g_per_cm3 = value(filament.density_g_per_cm3, &Material::density_g_per_cm3);
  plastic.sets_at_c = value(filament.glass_transition_c, &Material::glass_transition_c);
  const double flow_c = value(filament.flow_temperature_c, &Material::flow_temperature_c);
  plastic.crystallises = flow_c - plastic.sets_at_c > melting_gap_c;
  if (plastic.crystallises) plastic.sets_at_c = flow_c;
  return plastic;
}

/// The stated material, or those that the set points fit.
std::vector<Plastic> plastics_of(const FilamentProfile& filament, double melting_gap_c) {
  std::vector<Plastic> plastics;
  for (const std::string& name : names_in(filament.material.value.value_or(std::string())))
    for (const Material& material : built_in_materials())
      if (material.name == name) plastics.push_back(plastic_of(filament, &material, melting_gap_c));
  // Where the set points fit both kinds, the one that sets as a glass is by far the commoner at the same set points.
  const auto glass = std::stable_partition(plastics.begin(), plastics.end(),
                                           [](const Plastic& plastic) { return !plastic.crystallises; });
  if (glass != plastics.begin()) plastics.erase(glass, plastics.end());
  if (plastics.empty() && filament.density_g_per_cm3.known() && filament.glass_transition_c.known())
    plastics.push_back(plastic_of(filament, nullptr, melting_gap_c));
  return plastics;
}

/// What a layer's beads are like, weighted by length.
struct Means {
  double length_mm = 0;
  double nozzle_mm_c = 0;
  double fan_mm = 0;

  double nozzle_c() const { return nozzle_mm_c / length_mm; }
  double fan_ratio() const { return fan_mm / length_mm; }
};

/// A layer that was laid too soon over the one below.
struct EarlyLayer {
  Place place;
  double after_s = 0;
  double needed_s = 0;
  Means below;
};

class ShortLayerTime final : public Check {
 public:
  explicit ShortLayerTime(const CheckContext& context)
      : context_(context),
        note_layers_(context.limit("note_layers").value),
        warning_layers_(context.limit("warning_layers").value),
        first_layers_(context.limit("first_layers").value),
        still_air_w_per_m2_k_(context.limit("still_air_w_per_m2_k").value),
        fan_w_per_m2_k_(context.limit("fan_w_per_m2_k").value),
        heat_capacity_j_per_kg_k_(context.limit("heat_capacity_j_per_kg_k").value),
        plastics_(plastics_of(context.profile.filament, context.limit("melting_gap_c").value)) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) fan_is_set_ = fan_is_set_ || event.kind == EventKind::fan_set;
  }

  void on_layer(const Layer& layer, Findings&) override {
    if (plastics_.empty()) return;
    layers_over_plate_ = layer.on_plate ? 1 : layers_over_plate_ + 1;
    const Means below = means_;
    means_ = Means{};
    ambient_c_ = ambient_of(layer.settings);
    for (const Bead& bead : layer.beads)
      if (!is_apart(bead.role) && bead.role != BeadRole::ironing) lay(bead, layer);
    if (!(means_.length_mm > 0)) means_ = below;
    const LayerReturn laid = returns_.finish_layer();
    if (laid.judged_mm <= 0) return;
    judged_ = true;
    constexpr double most_of_it = 0.5;
    const bool early = laid.early_mm > most_of_it * laid.judged_mm;
    if (!early || static_cast<double>(layers_over_plate_) <= first_layers_) {
      end_run();
      return;
    }
    run_.push_back({.place = {.line = layer.first_line,
                              .layer = layer.number,
                              .x_mm = (layer.box_mm.low.x + layer.box_mm.high.x) / 2,
                              .y_mm = (layer.box_mm.low.y + layer.box_mm.high.y) / 2,
                              .z_mm = layer.z_mm,
                              .has_position = true,
                              .value = laid.early_needed_s - laid.early_after_s},
                    .after_s = laid.early_after_s,
                    .needed_s = laid.early_needed_s,
                    .below = below});
    if (static_cast<double>(run_.size()) >= std::max(warning_layers_, note_layers_)) flush_run();
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    end_run();
    if (job.extruder_switched || early_.empty()) return;
    findings.add(finding());
  }

  std::optional<std::string> skipped() const override {
    const Setting<EUnit>& unit = context_.profile.machine.e_unit;
    if (unit.known() && *unit == EUnit::neither)
      return "E has no plausible reading, so nobody knows how thick the beads are";
    if (plastics_.empty())
      return "nothing tells the material, so nobody knows when it sets: state it, such as --set filament.material=pla";
    if (!judged_ && no_nozzle_c_) return "the file sets no nozzle temperature, so nobody knows how hot its beads are";
    return std::nullopt;
  }

 private:
  double ambient_of(const Settings& settings) const {
    const double room_c = context_.limit("ambient_c").value;
    const Setting<double>& chamber = context_.profile.machine.chamber_c;
    if (chamber.known()) return *chamber;
    return settings.chamber_c > room_c ? settings.chamber_c : room_c;
  }

  double convection_w_per_m2_k(double fan_ratio) const { return still_air_w_per_m2_k_ + fan_w_per_m2_k_ * fan_ratio; }

  void lay(const Bead& bead, const Layer& layer) {
    if (!(bead.path_mm > 0) || !(bead.area_mm2 > 0) || !(bead.width_mm > 0)) return;
    if (!(bead.nozzle_c > 0)) {
      no_nozzle_c_ = true;
      return;
    }
    const double cooling_s = cooling_time_s(bead);
    if (!std::isfinite(cooling_s)) return;
    means_.length_mm += bead.path_mm;
    means_.nozzle_mm_c += static_cast<double>(bead.nozzle_c) * bead.path_mm;
    means_.fan_mm += static_cast<double>(bead.fan_ratio) * bead.path_mm;
    // A bead longer than any machine is looked at in as many places as others at most.
    constexpr double most_pieces = 512;
    const double pieces = std::clamp(std::ceil(bead.path_mm / ReturnTimes::cell_mm), 1.0, most_pieces);
    for (double i = 0; i < pieces; ++i) {
      const double share = (i + 0.5) / pieces;
      returns_.add({.at_mm = point_on_bead(bead, layer.arcs, share),
                    .height_mm = bead.height_mm,
                    .length_mm = bead.path_mm / pieces,
                    .time_s = bead.start_s + share * static_cast<double>(bead.duration_s),
                    .cooling_s = cooling_s});
    }
  }

  /// Until the bead, alone in the air, has set; of several materials the one that sets soonest.
  double cooling_time_s(const Bead& bead) {
    const double nozzle_c = static_cast<double>(bead.nozzle_c);
    if (nozzle_c != factor_nozzle_c_ || ambient_c_ != factor_ambient_c_) {
      factor_nozzle_c_ = nozzle_c;
      factor_ambient_c_ = ambient_c_;
      factor_ = std::numeric_limits<double>::infinity();
      // With a time constant of density alone: everything else is the bead's.
      for (const Plastic& plastic : plastics_) {
        const BeadCooling cooling{
            .start_c = nozzle_c, .ambient_c = ambient_c_, .time_constant_s = plastic.density_g_per_cm3};
        const double factor = cooling.time_to_s(plastic.sets_at_c);
        if (factor >= factor_) continue;
        factor_ = factor;
        soonest_ = &plastic;
      }
    }
    return factor_ * cooling_time_constant_s(
                         {.density_g_per_cm3 = 1,
                          .heat_capacity_j_per_kg_k = heat_capacity_j_per_kg_k_,
                          .area_mm2 = bead.area_mm2,
                          .perimeter_mm = bead_perimeter_mm(bead.width_mm, static_cast<double>(bead.height_mm)),
                          .convection_w_per_m2_k = convection_w_per_m2_k(static_cast<double>(bead.fan_ratio))});
  }

  void end_run() {
    if (static_cast<double>(run_length_ + run_.size()) >= note_layers_) flush_run();
    run_.clear();
    run_length_ = 0;
  }

  void flush_run() {
    run_length_ += run_.size();
    longest_run_ = std::max(longest_run_, run_length_);
    for (const EarlyLayer& layer : run_) {
      early_.add(layer.place);
      if (!worst_ || layer.needed_s - layer.after_s > worst_->needed_s - worst_->after_s) {
        worst_ = layer;
        worst_plastic_ = soonest_;
        worst_ambient_c_ = ambient_c_;
      }
    }
    run_.clear();
  }

  Finding finding() const {
    const EarlyLayer& worst = *worst_;
    Finding finding;
    finding.check = context_.name;
    const bool many = static_cast<double>(longest_run_) >= warning_layers_;
    finding.severity = many && fan_is_set_ ? Severity::warning : Severity::note;
    finding.symptoms = {Symptom::sagging};
    finding.what = fmt::format(
        "In {}, {} layers ({} on end) are laid over beads that are still soft: in layer {} the nozzle is back after {} "
        "s, "
        "and a bead of {} laid at {} °C takes {} s to {} °C, where it sets, in air of {} °C with the fan at {} %.",
        layers_of(early_), early_.count(), longest_run_, worst.place.layer, figure(worst.after_s, 1),
        worst_plastic_->name, figure(worst.below.nozzle_c()), figure(worst.needed_s, 1),
        figure(worst_plastic_->sets_at_c), figure(worst_ambient_c_), figure(100 * worst.below.fan_ratio()));
    finding.why =
        "The nozzle drags soft plastic along and heats it again before it has set, layer after layer: edges curl, "
        "walls "
        "sag, and small towers and tips turn into blobs.";
    finding.remedy = remedy(worst);
    finding.key = "too soon";
    finding.measured =
        Measured{.value = worst.after_s, .limit = worst.needed_s, .unit = "s", .limit_from = Origin::built_in};
    finding.places = early_;
    return finding;
  }

  std::string remedy(const EarlyLayer& worst) const {
    std::string text = fmt::format(
        "Give each of these layers {} s: print it at {} % of its speed, or print two of the part at once.",
        figure(std::ceil(worst.needed_s * 10) / 10, 1), figure(std::floor(100 * worst.after_s / worst.needed_s)));
    const double fan_w_per_m2_k = convection_w_per_m2_k(worst.below.fan_ratio()) * worst.needed_s / worst.after_s;
    const double fan = (fan_w_per_m2_k - still_air_w_per_m2_k_) / fan_w_per_m2_k_;
    if (fan <= 1)
      text += fmt::format(" Or set the fan to {} % there, if the material bears it.", figure(std::ceil(100 * fan)));
    else if (worst.below.fan_ratio() < 1)
      text += " More fan helps but does not do alone.";
    if (!fan_is_set_) text += " The file never sets the fan; if it blows by itself, take this for what it is without.";
    if (!context_.profile.filament.material.stated() && !context_.profile.filament.glass_transition_c.stated())
      text += fmt::format(
          " Nobody stated the material: of what the set points fit, {} sets soonest. To state it: --set "
          "filament.material={}.",
          worst_plastic_->name, worst_plastic_->name);
    return text;
  }

  CheckContext context_;
  double note_layers_;
  double warning_layers_;
  double first_layers_;
  double still_air_w_per_m2_k_;
  double fan_w_per_m2_k_;
  double heat_capacity_j_per_kg_k_;
  const std::vector<Plastic> plastics_;
  ReturnTimes returns_;
  double ambient_c_ = 0;
  double factor_nozzle_c_ = 0;
  double factor_ambient_c_ = 0;
  double factor_ = 0;  ///< density × the logarithm, g/cm³
  const Plastic* soonest_ = nullptr;
  bool fan_is_set_ = false;
  bool no_nozzle_c_ = false;
  bool judged_ = false;
  std::uint64_t layers_over_plate_ = 0;
  Means means_;                   ///< of the layer last laid
  std::vector<EarlyLayer> run_;   ///< of this run: not yet in `early_`
  std::uint64_t run_length_ = 0;  ///< of this run: in `early_` already
  std::uint64_t longest_run_ = 0;
  Places early_;
  std::optional<EarlyLayer> worst_;
  const Plastic* worst_plastic_ = nullptr;
  double worst_ambient_c_ = 0;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ShortLayerTime>(context); }

}  // namespace beadwise::checks::short_layer_time
