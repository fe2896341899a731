#pragma once

#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/error.hpp"
#include "beadwise/profile.hpp"

namespace beadwise::testing {

/// A folder of its own for one test, gone with it.
class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "profile-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::filesystem::path write(const std::string& name, std::string_view text) const {
    const std::filesystem::path file = path_ / name;
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << text;
    return file;
  }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

inline std::vector<KnownCheck> some_checks() {
  return {{"low-travel", {"min_lift_mm", "max_length_mm"}, {Severity::note, Severity::warning}},
          {"thin-stroke", {"min_width_ratio"}, {Severity::note, Severity::warning}},
          {"bad-checksum", {}, {Severity::error}}};
}

inline Profile load_file(const std::filesystem::path& file, std::vector<std::string> sets = {}) {
  return load_profile({file, {}, std::move(sets)}, some_checks());
}

inline Profile load_text(std::string_view text, std::vector<std::string> sets = {}) {
  const Folder folder;
  return load_file(folder.write("farm.toml", text), std::move(sets));
}

inline Profile load_sets(std::vector<std::string> sets) {
  return load_profile({{}, {}, std::move(sets)}, some_checks());
}

/// "line:column: sentence" of the refusal of a profile; empty where it is taken.
inline std::string refusal(std::string_view text) {
  try {
    load_text(text);
  } catch (const Error& error) {
    if (error.kind() != ErrorKind::profile) return "not an Error{profile}";
    return std::to_string(error.line()) + ":" + std::to_string(error.column()) + ": " + error.sentence();
  }
  return "";
}

/// The sentence of the refusal of a `--set`; empty where it is taken.
inline std::string refusal_of_set(const std::string& set) {
  try {
    load_sets({set});
  } catch (const Error& error) {
    return error.kind() == ErrorKind::usage ? error.what() : "not an Error{usage}";
  }
  return "";
}

inline ProfileValue described(const Profile& profile, std::string_view key) {
  for (const ProfileValue& value : describe(profile)) {
    if (value.key == key) return value;
  }
  return {};
}

}  // namespace beadwise::testing
