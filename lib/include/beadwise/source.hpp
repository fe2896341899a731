#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace beadwise {

/// Where the bytes of one job come from.
struct Source {
  enum class Kind : std::uint8_t { file, standard_input, memory };

  Kind kind = Kind::file;
  std::string name;            ///< as reports show it
  std::filesystem::path path;  ///< of a file
  std::string bytes;           ///< of a job held in memory

  static Source file(const std::filesystem::path& path);
  static Source standard_input();
  static Source memory(std::string name, std::string bytes);
};

/// The jobs that command-line arguments name: a file stands for itself, `-` for standard input, a folder for every
/// `*.gcode`, `*.gco`, `*.g` (case-insensitive, also with a further `.gz`) directly in it, in order of name.
/// Throws Error{usage} for a folder without such files. A file that does not exist is no error here: opening it says
/// so.
std::vector<Source> sources_from_arguments(const std::vector<std::string>& arguments);

}  // namespace beadwise
