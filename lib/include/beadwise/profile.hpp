#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace beadwise {

/// How bad a finding is. Ordered: a gate compares.
enum class Severity : std::uint8_t { note, warning, error };

std::string_view to_string(Severity severity);

/// Where a value in use came from. `file` is the sliced file itself: said in it, or guessed from it.
enum class Origin : std::uint8_t { built_in, file, profile, command_line };

/// "built-in", "file", "profile", "command-line".
std::string_view to_string(Origin origin);

/// A value in use, where it came from and why; without a value where nobody stated one and nothing could be guessed.
template <class T>
struct Setting {
  std::optional<T> value;
  Origin from = Origin::built_in;
  std::string because;  ///< one sentence: the source, the place in the profile, or what it was guessed from

  bool known() const { return value.has_value(); }
  /// Stated by a person, in the profile or on the command line.
  bool stated() const { return known() && (from == Origin::profile || from == Origin::command_line); }
  const T& operator*() const { return *value; }
};

/// A closed interval, in the unit of its key.
struct Range {
  double low = 0;
  double high = 0;
};

/// What the E word measures.
enum class EUnit : std::uint8_t {
  automatic,  ///< to be guessed
  mm,         ///< length of filament
  mm3,        ///< volume
  neither,    ///< no reading of E gives beads that a nozzle can lay; never stated, only guessed
};

/// Where the drive gear sits: on the hot end, or at the far end of a guide tube.
enum class Drive : std::uint8_t { automatic, direct, bowden };

std::string_view to_string(EUnit unit);
std::string_view to_string(Drive drive);

/// `[machine]` of a profile. Contract of keys and defaults: docs/profiles.md.
struct MachineProfile {
  Setting<double> nozzle_diameter_mm;
  Setting<double> filament_diameter_mm;
  Setting<EUnit> e_unit;
  Setting<Drive> drive;
  Setting<double> tube_length_mm;
  Setting<double> melt_zone_mm;
  Setting<bool> liner;
  Setting<Range> build_x_mm;
  Setting<Range> build_y_mm;
  Setting<Range> build_z_mm;
  Setting<double> max_speed_mm_per_s;
  Setting<double> max_acceleration_mm_per_s2;
  Setting<double> z_acceleration_mm_per_s2;
  Setting<double> extruder_acceleration_mm_per_s2;
  Setting<double> corner_speed_mm_per_s;
  Setting<double> max_retraction_mm;
  Setting<double> max_retraction_speed_mm_per_s;
  Setting<double> firmware_retraction_mm;
  Setting<double> drive_force_n;
  Setting<double> tube_hold_n;
  Setting<double> chamber_c;
  Setting<double> tool_count;
};

/// `[filament]` of a profile. Values that depend on the material stay unknown until `choose_material`.
struct FilamentProfile {
  Setting<std::string> material;  ///< one name, or several joined by " or " where a guess fits more than one
  Setting<double> density_g_per_cm3;
  Setting<double> diffusivity_mm2_per_s;
  Setting<double> glass_transition_c;
  Setting<double> flow_temperature_c;
  Setting<double> modulus_mpa;
  Setting<double> max_safe_c;
  Setting<Range> nozzle_c;
  Setting<Range> bed_c;
  Setting<double> spool_length_mm;
  Setting<double> spool_mass_g;
};

/// `[checks.<name>]`: what was stated for one check.
struct CheckProfile {
  bool off = false;
  std::optional<Severity> severity;
  std::map<std::string, Setting<double>, std::less<>> limits;  ///< by key of the limit
  Origin from = Origin::profile;                               ///< of `off` and `severity`
  std::string stated_at;                                       ///< "farm.toml:12", for messages
};

/// `[[accept]]`: a known finding that somebody accepted, and why.
struct Accepted {
  std::string check;
  std::string where;
  std::string because;
  std::string stated_at;
};

/// Every value in use for one job.
struct Profile {
  MachineProfile machine;
  FilamentProfile filament;
  std::map<std::string, CheckProfile, std::less<>> checks;
  std::vector<Accepted> accepted;
  std::vector<std::filesystem::path> files;  ///< that were read, the nearest first; empty where none was found
};

/// A material as printed in practice. `sources` names, for each key, where the number is from and how sure it is.
struct Material {
  std::string name;
  double density_g_per_cm3 = 0;
  double diffusivity_mm2_per_s = 0;
  double glass_transition_c = 0;
  double flow_temperature_c = 0;
  double modulus_mpa = 0;
  double max_safe_c = 0;
  Range nozzle_c;
  Range bed_c;
  std::string advice;  ///< published narrower ranges and cautions, one or two sentences for reports
  std::map<std::string, std::string, std::less<>> sources;
};

/// The built-in materials, the commonest first.
const std::vector<Material>& built_in_materials();

/// What a profile may say about a check; handed in, since profiles come before checks.
struct KnownCheck {
  std::string_view name;
  std::vector<std::string_view> limits;
  std::vector<Severity> severities;  ///< that the check can give
};

/// Where to look for a profile.
struct ProfileRequest {
  std::optional<std::filesystem::path> file;  ///< `--profile`; no discovery then
  std::filesystem::path
      job_folder;                 ///< where discovery starts; empty: no discovery (standard input: the current folder)
  std::vector<std::string> sets;  ///< `--set TABLE.KEY=VALUE`, in order
};

/// Defaults, then the profile found (with what it `extends`), then `sets`. Throws Error{profile} with file, line,
/// column and the nearest known key for anything that it does not know, and Error{usage} for a bad `--set`.
Profile load_profile(const ProfileRequest& request, std::span<const KnownCheck> checks);

/// Takes the values of the built-in materials in `names` (at least one) for every filament key that nobody stated:
/// the first one's numbers, the widest of their ranges. Sets `material` itself only where nobody stated it.
void choose_material(FilamentProfile& filament, std::span<const std::string> names, Origin from,
                     std::string_view because);

/// Sets the drive where nobody stated one and, where nobody stated a longest retraction either, the one that machines
/// with the drive in use are taken to stand.
void apply_drive(MachineProfile& machine, Drive drive, Origin from, std::string_view because);

/// One line of `beadwise profile show`.
struct ProfileValue {
  std::string key;    ///< "machine.nozzle_diameter_mm"
  std::string value;  ///< as TOML; empty where unknown
  Origin from = Origin::built_in;
  std::string because;
};

/// Every key of `[machine]` and `[filament]` and what was stated for checks, in the order of docs/profiles.md.
std::vector<ProfileValue> describe(const Profile& profile);

/// A profile to start from: what was stated, said in the file or guessed from it as TOML with a comment on each origin;
/// what is built in, follows from another key or is unknown as comments. Loaded for the same job, it gives the same
/// values.
std::string profile_as_toml(const Profile& profile);

/// JSON Schema (draft-04, for editors) of a profile.
std::string profile_json_schema(std::span<const KnownCheck> checks);

}  // namespace beadwise
