#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "beadwise/analyse.hpp"
#include "beadwise/profile.hpp"
#include "beadwise/report.hpp"

namespace beadwise::cli {

enum class Command : std::uint8_t {
  check,
  measure,
  diagnose,
  compare,
  calibrate,
  explain,
  checks,
  profile_show,
  profile_new,
  profile_schema
};

enum class Format : std::uint8_t { text, json, csv, sarif, junit, html, markdown };

enum class Color : std::uint8_t { automatic, always, never };

/// `--out F=FILE`
struct OutFile {
  Format format = Format::text;
  std::filesystem::path path;
};

/// A command line that makes sense.
struct Options {
  Command command = Command::check;
  std::vector<std::string> files;  ///< as given: files, folders, `-`
  std::string check;               ///< of `explain`
  Format format = Format::text;    ///< of standard output
  std::vector<OutFile> outs;
  std::optional<Severity> gate = Severity::error;
  Per per = Per::job;
  Color color = Color::automatic;
  bool quiet = false;
  AnalyseOptions analyse;
  std::uint64_t max_bytes = 0;                          ///< of one job, unpacked; 0: no limit was stated
  std::optional<std::filesystem::path> baseline;        ///< to read
  std::optional<std::filesystem::path> write_baseline;  ///< to write
  std::vector<std::string> symptoms;                    ///< of `diagnose`, as typed
  std::optional<Range> layers;                          ///< where the symptoms were seen
  std::optional<Range> height_mm;
  std::optional<std::array<double, 2>> at_mm;

  /// `diagnose --symptom help`
  bool asks_for_symptoms() const { return symptoms.size() == 1 && symptoms.front() == "help"; }
};

/// `--help` or `--version`: nothing but this is to be done.
struct Answer {
  std::string text;
};

/// Throws Error{usage} for a command line that makes no sense.
std::variant<Options, Answer> parse_options(int argc, const char* const* argv);

}  // namespace beadwise::cli
