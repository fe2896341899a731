#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "beadwise/error.hpp"

namespace beadwise::cli {

/// A file that is no job, such as a table of slip or a report.
struct InputFile {
  std::string path;                     ///< as given; `-` is standard input
  std::size_t most_bytes = 0;           ///< one that has more is another kind of file
  std::string_view contents;            ///< "a table of slip", for messages
  ErrorKind trouble = ErrorKind::file;  ///< of what is thrown where it cannot be read

  /// "standard input", or its path.
  std::string name() const { return path == "-" ? "standard input" : path; }
};

/// Its bytes. Throws Error where there are none to be had.
std::string bytes_of(const InputFile& file);

}  // namespace beadwise::cli
