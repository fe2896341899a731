#include <fmt/format.h>

#include <algorithm>
#include <system_error>

#include "beadwise/error.hpp"
#include "beadwise/profile.hpp"
#include "profile/builtin.hpp"
#include "profile/document.hpp"
#include "profile/material_keys.hpp"
#include "profile/statements.hpp"

namespace beadwise {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view profile_name = "beadwise.toml";

// From the current folder down a relative path reads better, and is the same on every machine.
fs::path as_shown(const fs::path& file) {
  std::error_code gone;
  const fs::path relative = file.lexically_relative(fs::current_path(gone));
  return relative.empty() || *relative.begin() == ".." ? file : relative;
}

std::optional<fs::path> discover(const fs::path& job_folder) {
  if (job_folder.empty()) return std::nullopt;
  std::error_code gone;
  fs::path folder = fs::absolute(job_folder, gone).lexically_normal();
  while (true) {
    const fs::path candidate = folder / profile_name;
    std::error_code ignored;
    if (fs::is_regular_file(candidate, ignored)) return as_shown(candidate);
    const fs::path parent = folder.parent_path();
    if (parent == folder) return std::nullopt;
    folder = parent;
  }
}

/// By this a profile that extends itself is known.
fs::path one_name_of(const fs::path& file) {
  std::error_code untraceable;  // a folder that may not be looked into, a pipe
  const fs::path name = fs::weakly_canonical(file, untraceable);
  return untraceable ? file : name;
}

/// Reads a profile and, before it, what it extends: the nearer file states last and so wins.
class Chain {
 public:
  Chain(std::span<const KnownCheck> checks, Profile& profile) : checks_(checks), profile_(profile) {}

  void read(const fs::path& file, const std::string& shown) {
    open_.push_back(one_name_of(file));
    const Document document = read_document(file, shown);
    if (const toml::node* extends = document.table.get("extends")) read_extended(document, file, *extends);
    take_statements(document, checks_, profile_);
    profile_.files.insert(profile_.files.begin(), file);
    open_.pop_back();
  }

 private:
  void read_extended(const Document& document, const fs::path& file, const toml::node& extends) {
    const auto* path = extends.as_string();
    if (path == nullptr || path->get().empty()) {
      document.refuse(extends.source(), "`extends` must be the path of one profile, a string");
    }
    const fs::path base = (file.parent_path() / path->get()).lexically_normal();
    std::error_code ignored;
    if (!fs::is_regular_file(base, ignored)) {
      document.refuse(extends.source(), fmt::format("`extends` names `{}`, but there is no such file", path->get()));
    }
    if (std::find(open_.begin(), open_.end(), one_name_of(base)) != open_.end()) {
      document.refuse(extends.source(), fmt::format("`extends` goes round in a circle: `{}` is being read already, and "
                                                    "it leads back here",
                                                    path->get()));
    }
    read(base, (fs::path(document.shown).parent_path() / path->get()).lexically_normal().string());
  }

  std::span<const KnownCheck> checks_;
  Profile& profile_;
  std::vector<fs::path> open_;
};

FilamentProfile unknown_filament() {
  FilamentProfile filament;
  for (const auto& key : material_numbers) (filament.*key.of_filament).because = "follows from the material";
  for (const auto& key : material_ranges) (filament.*key.of_filament).because = "follows from the material";
  filament.material.because = "to be guessed from the temperatures that the file sets";
  filament.spool_length_mm.because = "nobody stated it";
  filament.spool_mass_g.because = "nobody stated it";
  return filament;
}

// What a stated material and a stated drive bring with them waits until everything is read: the last statement counts,
// and keys that a person states win.
void draw_conclusions(Profile& profile) {
  const Setting<std::string> material = profile.filament.material;
  if (material.stated()) {
    const std::vector<std::string> names{*material};
    choose_material(profile.filament, names, material.from,
                    fmt::format("material = \"{}\", {}", *material, material.because));
  }
  const Setting<Drive> drive = profile.machine.drive;
  if (drive.stated()) apply_drive(profile.machine, *drive, drive.from, drive.because);
}

}  // namespace

Profile load_profile(const ProfileRequest& request, std::span<const KnownCheck> checks) {
  Profile profile;
  profile.machine = builtin::machine();
  profile.filament = unknown_filament();
  const std::optional<fs::path> file = request.file ? request.file : discover(request.job_folder);
  if (file) Chain(checks, profile).read(*file, file->filename().string());
  for (const std::string& set : request.sets) take_statements(document_of_set(set), checks, profile);
  draw_conclusions(profile);
  return profile;
}

}  // namespace beadwise
