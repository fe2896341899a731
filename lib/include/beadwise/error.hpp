#pragma once

#include <cstdint>
#include <stdexcept>
#include <string>

namespace beadwise {

/// What an Error is about; the command line maps it to an exit status.
enum class ErrorKind : std::uint8_t {
  file,     ///< a job that could not be read to its end: missing, unreadable, empty, damaged gzip
  usage,    ///< a command line that asks for something that does not exist
  profile,  ///< a profile that cannot be used as it stands
};

/// Trouble *with* the input: thrown while opening, reading or configuring, caught at the edge.
/// Trouble *in* the input is data and never thrown.
class Error : public std::runtime_error {
 public:
  /// `line` and `column` count from 1; 0 means that there is no such place.
  Error(ErrorKind kind, std::string file, std::uint64_t line, std::uint64_t column, std::string sentence);

  ErrorKind kind() const { return kind_; }
  const std::string& file() const { return file_; }
  std::uint64_t line() const { return line_; }
  std::uint64_t column() const { return column_; }
  /// What is wrong and what to do, without the place.
  const std::string& sentence() const { return sentence_; }

 private:
  ErrorKind kind_;
  std::string file_;
  std::uint64_t line_;
  std::uint64_t column_;
  std::string sentence_;
};

}  // namespace beadwise
