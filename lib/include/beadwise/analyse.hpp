#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "beadwise/profile.hpp"
#include "beadwise/report.hpp"
#include "beadwise/source.hpp"

namespace beadwise {

/// What to do with each job.
struct AnalyseOptions {
  std::optional<std::filesystem::path> profile;  ///< `--profile`
  std::vector<std::string> sets;                 ///< `--set`
  std::vector<std::string> only;                 ///< names of checks; empty: all
  std::vector<std::string> skip;                 ///< names of checks
  bool run_checks = true;                        ///< false for `measure`
  bool per_layer = false;
  bool per_object = false;
  bool follow_melt = false;  ///< fill `JobFigures::core_c_min` and `feed_force_n` beside the checks, too
  Series series = Series::none;
  /// `FileReport::series` is the flow through the melt zone, mm³/s: of what leaves it the mean over its stay. It takes
  /// the place of `series`.
  bool melt_series = false;
  /// More than `none` reads the job a second time; standard input is kept in a temporary file for it.
  ReportData report_data = ReportData::none;
  bool line_spots = false;               ///< fill `FileReport::line_spots`; reads the job a second time, too
  unsigned threads = 0;                  ///< 0: as many as there are cores
  std::size_t block_bytes = 128 * 1024;  ///< of reading; never changes the answer
  /// Called now and then from the thread that reads, with the job's name and the bytes read; may be empty.
  std::function<void(const std::string& name, std::uint64_t bytes)> progress;
};

/// Reads one job and judges it. What is wrong with the file itself is in the report; throws Error{profile} or
/// Error{usage} where the profile, a `--set` or the name of a check is wrong.
FileReport analyse(const Source& source, const AnalyseOptions& options);

/// The same for many jobs, side by side; in the order of `sources` for any number of threads.
std::vector<FileReport> analyse_all(std::span<const Source> sources, const AnalyseOptions& options);

/// Where the profile of one job is looked for: beside a file, in the current folder for standard input.
ProfileRequest profile_request(const Source& source, const AnalyseOptions& options);

/// The profile in use for one job, with what the file says or lets guess filled in.
Profile profile_in_use(const Source& source, const AnalyseOptions& options);

}  // namespace beadwise
