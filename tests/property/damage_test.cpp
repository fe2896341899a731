// Files as they are damaged on the way to the printer: cut off, with single bits flipped, with lines lost, doubled or
// swapped, glued together. No crash, no figure that is no number, and no file that lost its end passes in silence.
#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "beadwise/analyse.hpp"
#include "checks/support/complete_command.hpp"
#include "checks/support/job_end.hpp"
#include "gcode/parse_block.hpp"
#include "machine/machine.hpp"
#include "support/files.hpp"
#include "support/finite_figures.hpp"

namespace beadwise::tests {
namespace {

constexpr std::size_t last_kilobyte = 1024;
constexpr std::size_t random_cuts = 1000;

std::vector<std::filesystem::path> plates() { return files_below(source_folder() / "examples" / "plates", {".gcode"}); }

/// Plates small enough to be judged by every check again and again.
std::vector<std::filesystem::path> small_plates() {
  std::vector<std::filesystem::path> small = plates();
  std::erase_if(small, [](const auto& path) { return std::filesystem::file_size(path) > 40'000; });
  return small;
}

std::vector<std::size_t> places_to_cut(std::size_t bytes) {
  std::mt19937 random(2025);
  std::set<std::size_t> cuts;
  for (std::size_t back = 1; back <= std::min(last_kilobyte, bytes - 1); ++back) cuts.insert(bytes - back);
  for (std::size_t i = 0; i < random_cuts; ++i) cuts.insert(1 + random() % (bytes - 1));
  return {cuts.begin(), cuts.end()};
}

std::size_t start_of_line(std::string_view text, std::size_t at) {
  const std::size_t end = at == 0 ? std::string_view::npos : text.rfind('\n', at - 1);
  return end == std::string_view::npos ? 0 : end + 1;
}

/// What is known of a job when it stops: the machine, and what was done after the last bead.
struct State {
  Machine machine{MachineSetup{}};
  checks::JobEnd end{checks::largest_lift.built_in};
  std::uint64_t lines = 0;

  void read(std::string_view text) {
    if (text.empty()) return;
    Block block;
    block.bytes = text;
    block.first_line = lines + 1;
    ParsedBlock parsed;
    parse_block(block, parsed);
    machine.read(parsed);
    lines += parsed.size();
    drain();
  }
  void finish() {
    machine.finish();
    drain();
  }
  void drain() {
    MoveBatch batch;
    while (machine.next(batch)) end.on_moves(batch);
  }
};

std::string_view last_text_of(std::string_view job) {
  while (!job.empty() && (job.back() == '\n' || job.back() == ' ')) job.remove_suffix(1);
  return job.substr(start_of_line(job, job.size()));
}

JobSummary summary_of(const State& state, std::string_view job) {
  JobSummary summary;
  summary.figures.bytes = job.size();
  summary.figures.lines = state.lines;
  summary.settings = state.machine.settings();
  summary.end_mm = state.machine.position_mm();
  summary.ends_inside_line = job.back() != '\n';
  summary.last_text = last_text_of(job);
  summary.last_text_line = state.lines;
  return summary;
}

/// How a job that was cut shows it.
enum class Shown { truncated, hot, without_beads, not_at_all };

Shown shown_by(const State& before_line, std::string_view job) {
  State state = before_line;
  state.read(job.substr(start_of_line(job, job.size())));
  state.finish();
  const JobSummary summary = summary_of(state, job);
  if (!state.end.has_beads()) return Shown::without_beads;
  if (checks::cut_line(summary) != 0 || state.end.stops_at_part(summary)) return Shown::truncated;
  return checks::any_heater_on(summary.settings) ? Shown::hot : Shown::not_at_all;
}

/// Whether a stretch of G-code lays anything or heats anything: what a reader would miss.
bool lays_or_heats(std::string_view job, std::size_t cut) {
  const std::string lost(job.substr(start_of_line(job, cut)));
  if (lost.find("\nG1 X") != std::string::npos || lost.starts_with("G1 X")) return true;
  for (const std::string_view heater : {"M104 S", "M109 S", "M140 S", "M190 S"})
    for (std::size_t at = lost.find(heater); at != std::string::npos; at = lost.find(heater, at + 1))
      if (lost[at + heater.size()] != '0') return true;
  return false;
}

TEST_CASE("no example that lost its end passes in silence, unless all that is lost comes after the heaters are off") {
  std::size_t cuts = 0;
  std::size_t unknowable = 0;
  std::size_t most_bytes = 0;
  for (const std::filesystem::path& path : plates()) {
    INFO(path.filename().string());
    const std::string job = read_file(path);
    State before_line;
    std::size_t read = 0;
    for (const std::size_t cut : places_to_cut(job.size())) {
      const std::size_t line = start_of_line(job, cut);
      before_line.read(std::string_view(job).substr(read, line - read));
      read = line;
      ++cuts;
      if (shown_by(before_line, std::string_view(job).substr(0, cut)) != Shown::not_at_all) continue;
      INFO("cut at byte ", cut, " of ", job.size(), ": ", job.substr(line, cut - line));
      CHECK_FALSE(lays_or_heats(job, cut));
      ++unknowable;
      most_bytes = std::max(most_bytes, job.size() - cut);
    }
  }
  CHECK(cuts > 20'000);
  // Every plate ends in the same way: heaters off, fan off, lift, park, motors off.
  CHECK(unknowable < cuts / 20);
  MESSAGE(unknowable, " of ", cuts, " cuts cannot be known: heaters off, at most ", most_bytes, " bytes lost");
}

FileReport report_of(std::string job) {
  AnalyseOptions options;
  options.per_layer = true;
  options.threads = 1;
  return analyse(Source::memory("damaged.gcode", std::move(job)), options);
}

bool has_error(const FileReport& report) {
  return std::any_of(report.findings.begin(), report.findings.end(),
                     [](const Finding& finding) { return finding.severity == Severity::error; });
}

bool has(const FileReport& report, std::string_view check) {
  return std::any_of(report.findings.begin(), report.findings.end(),
                     [&](const Finding& finding) { return finding.check == check; });
}

void check_figures(const FileReport& report) {
  const std::string none = figure_that_is_none(report);
  CHECK_MESSAGE(none.empty(), none);
  CHECK(check_as_json({&report, 1}).find("\"findings\"") != std::string::npos);
}

TEST_CASE("a plate that was cut is judged by every check, and what the end alone shows agrees") {
  for (const std::filesystem::path& path : small_plates()) {
    INFO(path.filename().string());
    const std::string job = read_file(path);
    const bool has_end = !has(report_of(job), "truncated-file");
    std::vector<std::size_t> cuts = places_to_cut(job.size());
    std::size_t index = 0;
    // Every byte of the last lines, and every 25th of the other cuts.
    std::erase_if(cuts, [&](std::size_t cut) { return job.size() - cut > 120 && ++index % 25 != 0; });
    for (const std::size_t cut : cuts) {
      INFO("cut at byte ", cut, " of ", job.size());
      const FileReport report = report_of(job.substr(0, cut));
      check_figures(report);
      State before_line;
      before_line.read(std::string_view(job).substr(0, start_of_line(job, cut)));
      const Shown shown = shown_by(before_line, std::string_view(job).substr(0, cut));
      if (shown != Shown::without_beads) CHECK(has(report, "truncated-file") == (shown == Shown::truncated));
      if (shown == Shown::hot) CHECK(has(report, "heater-left-on"));
      if (has_end && shown != Shown::not_at_all) CHECK(has_error(report));
    }
  }
}

std::vector<std::string> lines_of(const std::string& job) {
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < job.size();) {
    const std::size_t end = std::min(job.find('\n', at), job.size() - 1) + 1;
    lines.push_back(job.substr(at, end - at));
    at = end;
  }
  return lines;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string job;
  for (const std::string& line : lines) job += line;
  return job;
}

TEST_CASE("single flipped bits leave every figure a number") {
  std::mt19937 random(7);
  for (const std::filesystem::path& path : small_plates()) {
    const std::string job = read_file(path);
    for (int i = 0; i < 60; ++i) {
      std::string damaged = job;
      const std::size_t at = random() % job.size();
      damaged[at] = static_cast<char>(damaged[at] ^ (1 << (random() % 8)));
      INFO(path.filename().string(), ", byte ", at);
      const FileReport report = report_of(damaged);
      REQUIRE(report.job.has_value());
      check_figures(report);
    }
  }
}

TEST_CASE("lines that are doubled, dropped and swapped leave every figure a number") {
  std::mt19937 random(11);
  for (const std::filesystem::path& path : small_plates()) {
    const std::vector<std::string> lines = lines_of(read_file(path));
    for (int i = 0; i < 60; ++i) {
      std::vector<std::string> damaged = lines;
      const std::size_t at = random() % lines.size();
      const std::size_t other = random() % lines.size();
      if (i % 3 == 0) damaged.insert(damaged.begin() + static_cast<std::ptrdiff_t>(at), lines[other]);
      if (i % 3 == 1) damaged.erase(damaged.begin() + static_cast<std::ptrdiff_t>(at));
      if (i % 3 == 2) std::swap(damaged[at], damaged[other]);
      INFO(path.filename().string(), ", lines ", at + 1, " and ", other + 1);
      const FileReport report = report_of(joined(damaged));
      CHECK(report.job->lines == damaged.size());
      check_figures(report);
    }
  }
}

TEST_CASE("line ends that change half-way change nothing but the size") {
  for (const std::filesystem::path& path : small_plates()) {
    INFO(path.filename().string());
    const std::vector<std::string> lines = lines_of(read_file(path));
    const FileReport whole = report_of(joined(lines));
    for (const std::string line_end : {"\r\n", "\r"}) {
      std::vector<std::string> changed = lines;
      for (std::size_t i = lines.size() / 2; i < lines.size(); ++i)
        if (changed[i].back() == '\n') changed[i].replace(changed[i].size() - 1, 1, line_end);
      const FileReport report = report_of(joined(changed));
      CHECK(report.job->lines == whole.job->lines);
      CHECK(report.job->moves == whole.job->moves);
      CHECK(report.job->filament_fed_mm == whole.job->filament_fed_mm);
      CHECK(report.job->duration_s == whole.job->duration_s);
      REQUIRE(report.findings.size() == whole.findings.size());
      for (std::size_t i = 0; i < whole.findings.size(); ++i)
        CHECK(report.findings[i].fingerprint == whole.findings[i].fingerprint);
    }
  }
}

TEST_CASE("two files glued together are one job that goes on: every figure is a number, moves and lines add up") {
  const std::vector<std::filesystem::path> small = small_plates();
  for (const std::filesystem::path& first : small)
    for (const std::filesystem::path& second : small) {
      INFO(first.filename().string(), " and ", second.filename().string());
      const std::string job = read_file(first);
      const FileReport a = report_of(job);
      const FileReport b = report_of(read_file(second));
      const FileReport both = report_of(job + read_file(second));
      check_figures(both);
      // A file that stops inside a line lends it to the next one.
      CHECK(both.job->lines == a.job->lines + b.job->lines - (job.back() == '\n' ? 0 : 1));
      CHECK(both.job->moves == a.job->moves + b.job->moves);
    }
}

}  // namespace
}  // namespace beadwise::tests
