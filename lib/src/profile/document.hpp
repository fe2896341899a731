#pragma once

#include <toml++/toml.h>

#include <filesystem>
#include <string>
#include <string_view>

#include "beadwise/profile.hpp"

namespace beadwise {

/// One profile file, or one `--set`: what is stated in it, where, and how to refuse it.
struct Document {
  Origin origin = Origin::profile;
  std::string path;   ///< as an error shows it; empty for a `--set`
  std::string shown;  ///< as reports show it: without the folders that differ from machine to machine, or "--set …"
  toml::table table;

  /// "farm.toml:12", or "--set machine.nozzle_diameter_mm=0.4".
  std::string place_of(const toml::source_region& region) const;

  /// Throws Error{profile} at the region, or Error{usage} for a `--set`.
  [[noreturn]] void refuse(const toml::source_region& region, std::string_view sentence) const;
};

/// Reads a profile file. Throws Error{profile} with the place where it is not TOML, or without one where it cannot be
/// read.
Document read_document(const std::filesystem::path& file, std::string shown);

/// Reads `TABLE.KEY=VALUE`; a bare word is a string. Throws Error{usage}.
Document document_of_set(std::string_view set);

}  // namespace beadwise
