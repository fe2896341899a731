#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/report.hpp"

namespace beadwise {

/// What became of a finding from one file to the other. In the order in which reports tell it.
enum class Change : std::uint8_t { appeared, worse, better, gone, unchanged };

/// "new", "worse", "better", "gone", "unchanged".
std::string_view to_string(Change change);

/// How a finding of one file was known again in the other.
enum class KnownBy : std::uint8_t {
  nothing,      ///< it stands in one file alone
  fingerprint,  ///< the same check found the same thing
  place,        ///< of several of one kind, the one that lies there
  likeness,     ///< another fingerprint; alike in words, unit and place
};

/// "fingerprint", "place", "likeness"; empty for nothing.
std::string_view to_string(KnownBy known_by);

/// A finding in one file or in both.
struct ComparedFinding {
  Change change = Change::unchanged;
  std::optional<Finding> before;
  std::optional<Finding> after;
  KnownBy known_by = KnownBy::nothing;
  bool elsewhere = false;  ///< of the same kind, but its places lie elsewhere
  /// Where it stands in one file alone since its check did not judge the other: why not.
  std::optional<std::string> unjudged;

  /// The one after, where there is one.
  const Finding& latest() const { return after ? *after : *before; }
};

/// A figure of both jobs.
struct ComparedFigure {
  std::string_view key;  ///< "duration_s", as in the report
  std::string_view name;
  std::string_view unit;
  std::optional<double> before;
  std::optional<double> after;

  /// After less before.
  std::optional<double> difference() const;
  /// Of the one before; none where that is 0 or the unit has no natural zero.
  std::optional<double> percent() const;
};

/// One of the two files.
struct ComparedFile {
  std::string file;
  std::string sha256;
  std::string verdict;
};

/// What a new slicing changed.
struct Comparison {
  ComparedFile before;
  ComparedFile after;
  std::vector<ComparedFinding> findings;  ///< by change, then the worst first
  std::vector<ComparedFigure> figures;    ///< those that one of the two has
};

/// How much two values may differ, as a share of the worse one, before a finding counts as better or worse.
inline constexpr double dead_band_ratio = 0.05;

/// Compares the reports of two jobs. Swapped, it gives the same pairs with new and gone, better and worse swapped.
Comparison compare(const FileReport& before, const FileReport& after);

/// Whether something stands at or above the gate that did not before: new, or become as bad as that. What is accepted
/// does not count.
bool reaches(const Comparison& comparison, Severity gate);

std::string comparison_as_text(const Comparison& comparison, const TextStyle& style);
/// JSON, comparison_version 1.
std::string comparison_as_json(const Comparison& comparison);
std::string comparison_as_markdown(const Comparison& comparison);

/// The most bytes that a report may have to be read back.
inline constexpr std::size_t max_report_bytes = 32'000'000;

/// Whether these bytes, the first of a file, begin as a report of `check --format json` does rather than as a job.
bool begins_as_report(std::string_view bytes);

/// Reads a report of `check --format json` back: names, verdicts, figures, checks and findings; the rest is left out.
/// Throws Error{file} with the place where it is none, damaged, too large, or of another version.
std::vector<FileReport> reports_from_json(std::string_view bytes, std::string_view name);

}  // namespace beadwise
