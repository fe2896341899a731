#pragma once

#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "beadwise/calibration.hpp"
#include "beadwise/check.hpp"
#include "beadwise/finding.hpp"
#include "beadwise/job.hpp"
#include "beadwise/picture.hpp"
#include "beadwise/profile.hpp"

namespace beadwise {

/// A value that an analysis stood on. Known or guessed, and how to state it otherwise: by its key.
struct Assumption {
  std::string key;  ///< "machine.nozzle_diameter_mm"
  std::variant<double, std::string, bool, Range> value;
  Origin from = Origin::built_in;
  std::string because;
};

/// Whether a check judged the file.
struct CheckState {
  std::string check;
  bool ran = false;
  std::optional<std::string> because;  ///< why it was skipped
  std::uint64_t findings = 0;
};

/// Something counted by name that was read past: unknown commands, macros.
struct NamedCount {
  std::string name;
  std::uint64_t count = 0;
};

/// Where a line stands in its file, after a byte-order mark where there is one.
struct LineSpot {
  std::uint64_t line = 0;         ///< from 1
  std::uint64_t byte_offset = 0;  ///< from 0, of the file as stored once unpacked, byte-order mark included
  std::uint64_t bytes = 0;        ///< without the line end
  std::uint64_t char_offset = 0;  ///< from 0, in Unicode code points, byte-order mark left out; a stray byte is one
  std::uint64_t chars = 0;        ///< without the line end
  std::string text;               ///< its beginning, at most 200 bytes, cut between code points
};

/// An acceptance that met no finding.
struct UnusedAcceptance {
  std::string check;
  std::string where;        ///< as stated; the fingerprint, of a baseline
  std::string from;         ///< "beadwise.toml:12", or the name of the baseline
  bool in_profile = false;  ///< else in a baseline
};

/// The whole answer for one file.
struct FileReport {
  std::string file;
  std::string sha256;                  ///< empty where the file could not be read
  bool packed = false;                 ///< stored as gzip: lines, offsets and figures are those of the unpacked text
  std::optional<std::string> failure;  ///< one sentence, where the file could not be read to its end
  std::vector<Assumption> assumptions;
  std::optional<JobFigures> job;                                   ///< none where nothing could be read
  std::vector<CheckState> checks;                                  ///< in order of name
  std::map<std::string, CheckProfile, std::less<>> stated_checks;  ///< by name: what profile and `--set` say of checks
  std::vector<Finding> findings;                                   ///< the worst first
  std::vector<std::string> unseen;     ///< what the file hides from the program, one sentence each: a start macro …
  std::vector<NamedCount> unknown;     ///< the most frequent first, at most 20
  std::vector<LayerFigures> layers;    ///< where asked for
  std::vector<ObjectFigures> objects;  ///< where checks ran or asked for
  std::vector<SeriesRow> series;       ///< where asked for
  std::optional<Pictures> pictures;    ///< where asked for
  std::vector<LineSpot> line_spots;    ///< where asked for: of the lines that findings name, in their order
  std::vector<UnusedAcceptance> unused_acceptances;

  /// "error", "warning", "note", "clean" or "unreadable"; findings that somebody accepted do not count.
  std::string_view verdict() const;
};

/// How text is laid out.
struct TextStyle {
  bool color = false;
  std::size_t width = 80;  ///< columns
  bool quiet = false;      ///< the verdict of each file and what stands at or above a warning, nothing else
  bool ascii = false;      ///< plots drawn with ASCII alone
};

/// The report of `check` for a terminal.
std::string check_as_text(std::span<const FileReport> reports, const TextStyle& style);

/// The report of `check` as JSON, schema_version 1.
std::string check_as_json(std::span<const FileReport> reports);

/// How the page is made.
struct HtmlOptions {
  /// The most bytes that the layers to step through may take, all files together; what does not fit is named.
  std::size_t layer_bytes = 6'000'000;
};

/// The report of `check` as a page that needs nothing beside itself: no network, no other file. It draws what
/// `FileReport::pictures` holds; without them it is words and tables.
std::string check_as_html(std::span<const FileReport> reports, const HtmlOptions& options);

/// The report of `check` as SARIF 2.1.0 (OASIS). Regions have columns and offsets where `FileReport::line_spots` has
/// them.
std::string check_as_sarif(std::span<const FileReport> reports);

/// The report of `check` as JUnit XML, the common subset of its schemas: one test case for each file and check, failed
/// where a finding stands at or above `gate`.
std::string check_as_junit(std::span<const FileReport> reports, std::optional<Severity> gate);

/// The report of `check` as a short note in Markdown (CommonMark with tables), to paste into a ticket or a mail.
std::string check_as_markdown(std::span<const FileReport> reports);

/// What `measure` is split by.
enum class Per : std::uint8_t { job, layer, object };

std::string measure_as_text(std::span<const FileReport> reports, Per per, const TextStyle& style);
std::string measure_as_json(std::span<const FileReport> reports, Per per);
std::string measure_as_csv(std::span<const FileReport> reports, Per per);

/// A series of each job as comma-separated values with a header row.
std::string series_as_csv(std::span<const FileReport> reports, Series series);

/// A check's page, wrapped for a terminal.
std::string page_as_text(std::string_view page, const TextStyle& style);

/// The list of checks: name, severities, symptoms, what each looks for.
std::string checks_as_text(std::span<const RegisteredCheck> checks, const TextStyle& style);
std::string checks_as_json(std::span<const RegisteredCheck> checks);

/// Every value in use for `file` and where it came from.
std::string profile_as_text(std::string_view file, std::span<const ProfileValue> values, const TextStyle& style);
std::string profile_as_json(std::string_view file, std::span<const ProfileValue> values);

/// A fitted melt zone and what is known of the filament that it was measured with.
struct Calibration {
  std::string table;  ///< the name of the table
  MeltZoneFit fit;
  Setting<std::string> material;          ///< unknown only beside a stated diffusivity
  Setting<double> diffusivity_mm2_per_s;  ///< always known; parts the length from αL

  /// Length of the melt zone, mm, with the interval of the fit alone: the diffusivity is taken as exact.
  Estimate melt_zone_mm() const;
};

/// The fit with its intervals, its rows, a plot and a piece of a profile.
std::string calibration_as_text(const Calibration& calibration, const TextStyle& style);
std::string calibration_as_json(const Calibration& calibration);
/// The piece of a profile alone, TOML.
std::string calibration_as_toml(const Calibration& calibration);

}  // namespace beadwise
