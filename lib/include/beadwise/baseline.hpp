#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/report.hpp"

namespace beadwise {

/// A finding that a baseline notes.
struct KnownFinding {
  std::string check;
  std::string fingerprint;
  Severity severity = Severity::note;  ///< the worst that is accepted
  std::string what;                    ///< for whoever reads the file
};

/// What a baseline notes of one sliced file.
struct KnownFile {
  std::string file;
  std::vector<KnownFinding> findings;
};

/// Findings that were there when somebody decided to live with them.
struct Baseline {
  std::string name;  ///< of its file, for reports
  std::vector<KnownFile> files;
};

/// The most bytes that a baseline may have.
inline constexpr std::size_t max_baseline_bytes = 8'000'000;

/// Reads a baseline file. Throws Error{usage} with the place where it is none, is damaged, too large, or of a newer
/// version.
Baseline read_baseline(std::string_view bytes, std::string_view name);

/// Marks the findings of each report that the baseline notes for the file of that name, and puts them after the others;
/// where no name fits and there is one report and one file in the baseline, for that one. A finding that is worse than
/// noted is not accepted. What the baseline notes and a check that ran did not find again is among the unused
/// acceptances.
void accept_known(const Baseline& baseline, std::span<FileReport> reports);

/// A baseline of what the reports hold, JSON, baseline_version 1; without what a profile accepts. Files and findings in
/// order of their names.
std::string baseline_as_json(std::span<const FileReport> reports);

}  // namespace beadwise
