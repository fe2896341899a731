#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace beadwise {

/// Where the bytes of one job come from.
struct Source {
  enum class Kind : std::uint8_t { file, open_file, standard_input, memory };

  Kind kind = Kind::file;
  std::string name;            ///< as reports show it
  std::filesystem::path path;  ///< of a file
  int descriptor = -1;         ///< of an open file, read from its beginning and not closed
  std::string bytes;           ///< of a job held in memory
  /// A job of more bytes, unpacked, counts as one that could not be read to its end. 0: any number, but packed data
  /// that grow as those of no print do are not followed.
  std::uint64_t max_bytes = 0;

  static Source file(const std::filesystem::path& path);
  static Source standard_input();
  static Source memory(std::string name, std::string bytes);
};

/// The jobs that command-line arguments name: a file stands for itself, `-` for standard input, a folder for every
/// `*.gcode`, `*.gco`, `*.g` (case-insensitive, also with a further `.gz`) directly in it, in order of name; pipes,
/// sockets and devices are none. Throws Error{usage} for a folder without such files or one that cannot be listed. A
/// file that does not exist is no error here: opening it says so.
std::vector<Source> sources_from_arguments(const std::vector<std::string>& arguments);

}  // namespace beadwise
