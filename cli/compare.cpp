#include "beadwise/compare.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <system_error>

#include "beadwise/analyse.hpp"
#include "beadwise/error.hpp"
#include "cli/commands.hpp"
#include "cli/input.hpp"
#include "cli/jobs.hpp"
#include "cli/open_file.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

// Blanks and a byte-order mark may stand before the first brace.
constexpr std::size_t beginning_bytes = 256;

[[noreturn]] void cannot_keep(int trouble) {
  throw Error(ErrorKind::file, "standard input", 0, 0,
              fmt::format("cannot be kept in a temporary file ({}): make room in TMPDIR, or name a file instead.",
                          std::generic_category().message(trouble)));
}

/// A temporary file whose name is gone already.
OpenFile nameless_file() {
  std::error_code trouble;
  const std::filesystem::path folder = std::filesystem::temp_directory_path(trouble);
  if (trouble) cannot_keep(trouble.value());
  std::string name = (folder / "beadwise-XXXXXX").string();
  const int descriptor = ::mkostemp(name.data(), O_CLOEXEC);
  if (descriptor < 0) cannot_keep(errno);
  ::unlink(name.c_str());
  OpenFile file(::fdopen(descriptor, "w+b"));
  if (!file) cannot_keep(errno);
  return file;
}

/// Puts what comes through a pipe into a temporary file, so that its beginning can be looked at.
void keep_standard_input() {
  if (::lseek(STDIN_FILENO, 0, SEEK_CUR) >= 0) return;
  const OpenFile kept = nameless_file();
  std::array<char, 1 << 16> piece{};
  while (const std::size_t read = std::fread(piece.data(), 1, piece.size(), stdin))
    if (std::fwrite(piece.data(), 1, read, kept.get()) != read) cannot_keep(errno);
  if (std::ferror(stdin) != 0)
    throw Error(ErrorKind::file, "standard input", 0, 0,
                fmt::format("cannot be read ({}).", std::generic_category().message(errno)));
  if (std::fflush(kept.get()) != 0) cannot_keep(errno);
  ::lseek(::fileno(kept.get()), 0, SEEK_SET);
  ::dup2(::fileno(kept.get()), STDIN_FILENO);
  std::clearerr(stdin);
}

std::string beginning_of(const std::string& argument) {
  std::string bytes(beginning_bytes, '\0');
  if (argument == "-") {
    keep_standard_input();
    const off_t at = ::lseek(STDIN_FILENO, 0, SEEK_CUR);
    bytes.resize(static_cast<std::size_t>(std::max<ssize_t>(0, ::pread(STDIN_FILENO, bytes.data(), bytes.size(), at))));
    return bytes;
  }
  // What is read from a pipe is gone.
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(argument, ignored)) return {};
  std::ifstream file(argument, std::ios::binary);
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  bytes.resize(static_cast<std::size_t>(file.gcount()));
  return bytes;
}

/// One side of the comparison: the reports that its file holds, or the one of the sliced file that it is.
using Side = std::vector<FileReport>;

Side side_of(const std::string& argument, const Options& options) {
  if (begins_as_report(beginning_of(argument))) {
    const InputFile file{.path = argument, .most_bytes = max_report_bytes, .contents = "a report"};
    return reports_from_json(bytes_of(file), file.name());
  }
  Options one = options;
  one.files = {argument};
  one.analyse.follow_melt = true;
  const Jobs jobs{.sources = sources_of(argument, options), .status = ExitCode::good};
  if (jobs.sources.size() != 1)
    throw Error(ErrorKind::usage, argument, 0, 0,
                fmt::format("holds {} sliced files; name the one to compare.", jobs.sources.size()));
  return read_jobs(jobs, one);
}

std::string last_part(const std::string& path) { return std::filesystem::path(path).filename().string(); }

/// The report of one side that is to be held against `other`: the only one, or the one of its name.
const FileReport& chosen(const Side& side, const std::string& argument, const Side& other) {
  if (side.size() == 1) return side.front();
  const FileReport* found = nullptr;
  std::size_t count = 0;
  for (const FileReport& report : side)
    if (other.size() == 1 && last_part(report.file) == last_part(other.front().file)) {
      found = &report;
      ++count;
    }
  if (count == 1) return *found;
  throw Error(ErrorKind::usage, argument, 0, 0,
              fmt::format("holds the reports of {} files, and not just one of them has the name of the file to compare "
                          "it with; write a report of that file alone.",
                          side.size()));
}

void refuse_unread(const FileReport& report) {
  if (report.failure) throw Error(ErrorKind::file, report.file, 0, 0, *report.failure);
}

std::string written_as(Format format, const Comparison& comparison, const TextStyle& style) {
  if (format == Format::json) return comparison_as_json(comparison);
  if (format == Format::markdown) return comparison_as_markdown(comparison);
  return comparison_as_text(comparison, style);
}

}  // namespace

ExitCode run_compare(const Options& options) {
  const std::string& first = options.files.front();
  const std::string& second = options.files.back();
  if (first == "-" && second == "-")
    throw Error(ErrorKind::usage, "", 0, 0, "Standard input can be read only once: give `-` only once.");
  const Side before = side_of(first, options);
  const Side after = side_of(second, options);
  const FileReport& one = chosen(before, first, after);
  const FileReport& other = chosen(after, second, before);
  refuse_unread(one);
  refuse_unread(other);
  const Comparison comparison = compare(one, other);
  for (const OutFile& out : options.outs) write_file(out.path, written_as(out.format, comparison, file_style(options)));
  write_standard_output(written_as(options.format, comparison, terminal_style(options)));
  return options.gate && reaches(comparison, *options.gate) ? ExitCode::found : ExitCode::good;
}

}  // namespace beadwise::cli
