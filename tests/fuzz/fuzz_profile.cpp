// A profile is read or refused with an Error, and nothing else; every value in it is finite, and what is written of it
// reads back.

#include <unistd.h>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "beadwise/check.hpp"
#include "beadwise/error.hpp"
#include "beadwise/profile.hpp"
#include "fuzz/support/demand.hpp"

using namespace beadwise;
using fuzz::demand;

namespace {

constexpr std::size_t largest_input = 1 << 16;

/// A folder of its own for each process, where profiles are looked for by path.
const std::filesystem::path& folder() {
  static const std::filesystem::path made = [] {
    std::string pattern = (std::filesystem::temp_directory_path() / "beadwise-fuzz-XXXXXX").string();
    demand(mkdtemp(pattern.data()) != nullptr, "there is room for a profile");
    return std::filesystem::path(pattern);
  }();
  return made;
}

struct Cleanup {
  ~Cleanup() {
    std::error_code ignored;
    std::filesystem::remove_all(folder(), ignored);
  }
};

void demand_finite(double value, const std::string& key) { demand(std::isfinite(value), key + " is finite"); }
void demand_finite(const Range& range, const std::string& key) {
  demand_finite(range.low, key);
  demand_finite(range.high, key);
  demand(range.low <= range.high, key + " begins with its lower end");
}

template <class T>
void demand_known(const Setting<T>& setting, const std::string& key) {
  if (setting.known()) demand_finite(*setting, key);
}

void demand_values(const Profile& profile) {
  const MachineProfile& machine = profile.machine;
  demand_known(machine.nozzle_diameter_mm, "nozzle_diameter_mm");
  demand_known(machine.filament_diameter_mm, "filament_diameter_mm");
  demand_known(machine.tube_length_mm, "tube_length_mm");
  demand_known(machine.melt_zone_mm, "melt_zone_mm");
  demand_known(machine.build_x_mm, "build_x_mm");
  demand_known(machine.build_y_mm, "build_y_mm");
  demand_known(machine.build_z_mm, "build_z_mm");
  demand_known(machine.max_speed_mm_per_s, "max_speed_mm_per_s");
  demand_known(machine.max_acceleration_mm_per_s2, "max_acceleration_mm_per_s2");
  demand_known(machine.corner_speed_mm_per_s, "corner_speed_mm_per_s");
  demand_known(machine.max_retraction_mm, "max_retraction_mm");
  demand_known(machine.firmware_retraction_mm, "firmware_retraction_mm");
  demand_known(machine.drive_force_n, "drive_force_n");
  const FilamentProfile& filament = profile.filament;
  demand_known(filament.density_g_per_cm3, "density_g_per_cm3");
  demand_known(filament.diffusivity_mm2_per_s, "diffusivity_mm2_per_s");
  demand_known(filament.nozzle_c, "nozzle_c");
  demand_known(filament.bed_c, "bed_c");
  demand_known(filament.spool_length_mm, "spool_length_mm");
  for (const auto& [name, check] : profile.checks)
    for (const auto& [key, limit] : check.limits) demand_known(limit, name + '.' + key);
}

void read_file_of(std::string_view text) {
  const std::filesystem::path file = folder() / "beadwise.toml";
  std::ofstream(file, std::ios::binary | std::ios::trunc) << text;
  try {
    const Profile profile = load_profile({.file = file, .job_folder = {}, .sets = {}}, known_checks());
    demand_values(profile);
    demand(!describe(profile).empty(), "a profile can be shown");
    demand(!profile_as_toml(profile).empty(), "a profile can be written");
  } catch (const Error& error) {
    demand(error.kind() == ErrorKind::profile, "what is wrong with a profile is its own error");
    demand(!error.sentence().empty(), "an error says what is wrong");
    demand(error.sentence().find('\n') == std::string::npos, "an error is one line");
  }
}

void read_set_of(std::string_view text) {
  try {
    demand_values(load_profile({.file = {}, .job_folder = {}, .sets = {std::string(text)}}, known_checks()));
  } catch (const Error& error) {
    demand(error.kind() == ErrorKind::usage, "a wrong --set is wrong usage");
    demand(!error.sentence().empty(), "an error says what is wrong");
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Cleanup cleanup;
  if (size > largest_input) return 0;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  read_file_of(text);
  read_set_of(text.substr(0, text.find('\n')));
  return 0;
}
