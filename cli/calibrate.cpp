#include "beadwise/calibrate.hpp"

#include <cstdlib>
#include <span>
#include <string>
#include <string_view>

#include "beadwise/analyse.hpp"
#include "beadwise/check.hpp"
#include "beadwise/report.hpp"
#include "cli/commands.hpp"
#include "cli/input.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

// Thousands of rows; beyond, it is another file.
constexpr std::size_t most_bytes = 1 << 20;

SlipTable table_of(const std::string& argument) {
  const InputFile file{.path = argument, .most_bytes = most_bytes, .contents = "a table of slip"};
  return read_slip_table(file.name(), bytes_of(file));
}

ProfileRequest request_of(const Options& options) {
  const std::string& table = options.files.front();
  return profile_request(table == "-" ? Source::standard_input() : Source::file(table), options.analyse);
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
