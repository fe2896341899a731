#include "beadwise/calibrate.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <system_error>

#include "beadwise/check.hpp"
#include "beadwise/error.hpp"
#include "beadwise/report.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

// Thousands of rows; beyond, it is another file.
constexpr std::size_t most_bytes = 1 << 20;

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using OpenFile = std::unique_ptr<std::FILE, CloseFile>;

[[noreturn]] void fail(const std::string& name, const std::string& sentence) {
  throw Error(ErrorKind::file, name, 0, 0, sentence);
}

std::string whole(std::FILE* file, const std::string& name) {
  std::string text(most_bytes + 1, '\0');
  text.resize(std::fread(text.data(), 1, text.size(), file));
  if (std::ferror(file) != 0) {
    fail(name, fmt::format("cannot be read ({}).", std::generic_category().message(errno)));
  }
  if (text.size() > most_bytes) fail(name, "is too large for a table of slip; name the table, not a print.");
  return text;
}

std::string text_of(const std::string& path) {
  std::error_code ignored;
  if (std::filesystem::is_directory(path, ignored)) fail(path, "is a folder; name the table in it.");
  const OpenFile file(std::fopen(path.c_str(), "rb"));
  if (file) return whole(file.get(), path);
  const int trouble = errno;
  if (trouble == ENOENT || trouble == ENOTDIR) fail(path, "no such file: check the path.");
  fail(path, fmt::format("cannot be opened ({}).", std::generic_category().message(trouble)));
}

SlipTable table_of(const std::string& argument) {
  if (argument == "-") return read_slip_table("standard input", whole(stdin, "standard input"));
  return read_slip_table(argument, text_of(argument));
}

ProfileRequest request_of(const Options& options) {
  ProfileRequest request;
  request.file = options.analyse.profile;
  request.sets = options.analyse.sets;
  const std::string& table = options.files.front();
  const std::filesystem::path folder = table == "-" ? "" : std::filesystem::path(table).parent_path();
  request.job_folder = folder.empty() ? std::filesystem::current_path() : folder;
  return request;
}

FilamentProfile filament_of(const Options& options) {
  FilamentProfile filament = load_profile(request_of(options), known_checks()).filament;
  if (filament.diffusivity_mm2_per_s.known()) return filament;
  choose_material(filament, std::span(&built_in_materials().front().name, 1), Origin::built_in,
                  "the commonest material, since nobody stated one");
  return filament;
}

std::string_view environment(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? std::string_view() : std::string_view(value);
}

// POSIX: LC_ALL goes before LC_CTYPE, and that before LANG; an empty one does not count.
bool terminal_has_unicode() {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const std::string_view locale = environment(name);
    if (locale.empty()) continue;
    return locale.find("UTF-8") != std::string_view::npos || locale.find("utf8") != std::string_view::npos ||
           locale.find("UTF8") != std::string_view::npos || locale.find("utf-8") != std::string_view::npos;
  }
  return false;
}

std::string written_as(Format format, const Calibration& calibration, const TextStyle& style) {
  if (format == Format::json) return calibration_as_json(calibration);
  return calibration_as_text(calibration, style);
}

}  // namespace

ExitCode run_calibrate(const Options& options) {
  const SlipTable table = table_of(options.files.front());
  const FilamentProfile filament = filament_of(options);
  const Calibration calibration{.table = table.name,
                                .fit = fit_melt_zone(table),
                                .material = filament.material,
                                .diffusivity_mm2_per_s = filament.diffusivity_mm2_per_s};
  for (const OutFile& out : options.outs) {
    write_file(out.path, written_as(out.format, calibration, file_style(options)));
  }
  TextStyle style = terminal_style(options);
  style.ascii = !terminal_has_unicode();
  write_standard_output(written_as(options.format, calibration, style));
  return ExitCode::good;
}

}  // namespace beadwise::cli
