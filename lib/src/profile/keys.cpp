#include "profile/keys.hpp"

#include <array>

namespace beadwise {

namespace {

using M = MachineProfile;
using F = FilamentProfile;

constexpr bool not_the_lowest = false;
constexpr bool lowest_too = true;

// Ends of plausibility, from what the trade builds: beyond them a value is in another unit.
constexpr Bounds diameter{0, 10, not_the_lowest};
constexpr Bounds length{0, 1e7};
constexpr Bounds some_length{0, 1e7, not_the_lowest};
constexpr Bounds place{-1e5, 1e5};
constexpr Bounds speed{0, 1e5, not_the_lowest};
constexpr Bounds acceleration{0, 1e7, not_the_lowest};
constexpr Bounds force{0, 1e5, not_the_lowest};
constexpr Bounds temperature{-273.15, 1000};

constexpr std::array machine_table{
    Key<M>{"nozzle_diameter_mm", &M::nozzle_diameter_mm, "mm", "diameter of the nozzle's orifice", diameter},
    Key<M>{"filament_diameter_mm", &M::filament_diameter_mm, "mm", "diameter of the filament", diameter},
    Key<M>{"e_unit", &M::e_unit, "", "what the E word measures: length of filament (mm) or volume (mm3)"},
    Key<M>{"drive", &M::drive, "", "where the drive gear sits: on the hot end, or at the far end of a guide tube"},
    Key<M>{"tube_length_mm", &M::tube_length_mm, "mm", "length of the guide tube", length},
    Key<M>{"melt_zone_mm", &M::melt_zone_mm, "mm", "length of the heated stretch before the orifice", some_length},
    Key<M>{"liner", &M::liner, "", "whether a fluoropolymer liner reaches the hot zone"},
    Key<M>{"build_x_mm", &M::build_x_mm, "mm", "build volume along X, lowest and highest", place},
    Key<M>{"build_y_mm", &M::build_y_mm, "mm", "build volume along Y, lowest and highest", place},
    Key<M>{"build_z_mm", &M::build_z_mm, "mm", "build volume along Z, lowest and highest", place},
    Key<M>{"max_speed_mm_per_s", &M::max_speed_mm_per_s, "mm/s", "highest speed of the head", speed},
    Key<M>{"max_acceleration_mm_per_s2", &M::max_acceleration_mm_per_s2, "mm/s²", "acceleration in X and Y",
           acceleration},
    Key<M>{"z_acceleration_mm_per_s2", &M::z_acceleration_mm_per_s2, "mm/s²", "acceleration of Z alone", acceleration},
    Key<M>{"extruder_acceleration_mm_per_s2", &M::extruder_acceleration_mm_per_s2, "mm/s²",
           "acceleration of the drive gear alone", acceleration},
    Key<M>{"corner_speed_mm_per_s", &M::corner_speed_mm_per_s, "mm/s", "speed kept through a right angle",
           Bounds{0, 1e5, lowest_too}},
    Key<M>{"max_retraction_mm", &M::max_retraction_mm, "mm", "longest retraction that the hot end stands", length},
    Key<M>{"max_retraction_speed_mm_per_s", &M::max_retraction_speed_mm_per_s, "mm/s",
           "highest speed of a retraction or prime", speed},
    Key<M>{"firmware_retraction_mm", &M::firmware_retraction_mm, "mm",
           "length that a G10 pulls back where the file does not say", length},
    Key<M>{"drive_force_n", &M::drive_force_n, "N", "force at which the drive gear slips", force},
    Key<M>{"tube_hold_n", &M::tube_hold_n, "N", "force at which the guide tube leaves its coupling", force},
    Key<M>{"chamber_c", &M::chamber_c, "°C", "temperature of the air round the part", temperature},
    // Tool numbers above 63 are no tools (the dialect of RS-274 that printers use).
    Key<M>{"tool_count", &M::tool_count, "count", "number of tools", Bounds{1, 64, lowest_too, true}},
};

constexpr std::array filament_table{
    Key<F>{"material", &F::material, "", "a built-in material; sets every key below that nobody stated"},
    Key<F>{"density_g_per_cm3", &F::density_g_per_cm3, "g/cm³", "density of the solid filament",
           Bounds{0, 25, not_the_lowest}},
    Key<F>{"diffusivity_mm2_per_s", &F::diffusivity_mm2_per_s, "mm²/s", "thermal diffusivity while it melts",
           Bounds{0, 200, not_the_lowest}},
    Key<F>{"glass_transition_c", &F::glass_transition_c, "°C", "glass transition", temperature},
    Key<F>{"flow_temperature_c", &F::flow_temperature_c, "°C", "temperature from which the core can be pushed out",
           temperature},
    Key<F>{"modulus_mpa", &F::modulus_mpa, "MPa", "elastic modulus of the cold filament",
           Bounds{0, 1e6, not_the_lowest}},
    Key<F>{"max_safe_c", &F::max_safe_c, "°C", "nozzle temperature above which the material degrades", temperature},
    Key<F>{"nozzle_c", &F::nozzle_c, "°C", "nozzle temperatures it is printed at, lowest and highest", temperature},
    Key<F>{"bed_c", &F::bed_c, "°C", "bed temperatures it is printed on, lowest and highest", temperature},
    Key<F>{"spool_length_mm", &F::spool_length_mm, "mm", "filament left on the spool, by length", Bounds{0, 1e9}},
    Key<F>{"spool_mass_g", &F::spool_mass_g, "g", "filament left on the spool, by mass, without the empty spool",
           Bounds{0, 1e6}},
};

}  // namespace

std::span<const Key<MachineProfile>> machine_keys() { return machine_table; }
std::span<const Key<FilamentProfile>> filament_keys() { return filament_table; }

}  // namespace beadwise
