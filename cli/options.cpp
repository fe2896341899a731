#include "cli/options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>

#include "beadwise/error.hpp"
#include "cli/nearest_name.hpp"
#include "cli/option_table.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

constexpr unsigned most_threads = 1024;

[[noreturn]] void refuse(const std::string& sentence) { throw Error(ErrorKind::usage, "", 0, 0, sentence); }

template <class Value>
using Choices = std::vector<std::pair<std::string, Value>>;

template <class Value>
Value chosen(std::string_view option, const std::string& text, const Choices<Value>& choices) {
  std::vector<std::string> names;
  for (const auto& [name, value] : choices) {
    if (name == text) return value;
    names.push_back(name);
  }
  refuse(fmt::format("{} has no `{}`; there are: {}.", option, text, fmt::join(names, ", ")));
}

Choices<Format> formats_of(Command command) {
  Choices<Format> formats = {{"text", Format::text}, {"json", Format::json}};
  if (command == Command::measure) formats.emplace_back("csv", Format::csv);
  if (command == Command::check) {
    formats.insert(formats.end(), {{"sarif", Format::sarif}, {"junit", Format::junit}, {"html", Format::html}});
  }
  if (command == Command::check || command == Command::diagnose || command == Command::compare) {
    formats.emplace_back("markdown", Format::markdown);
  }
  return formats;
}

const Choices<std::optional<Severity>>& gates() {
  static const Choices<std::optional<Severity>> choices = {
      {"error", Severity::error}, {"warning", Severity::warning}, {"note", Severity::note}, {"none", std::nullopt}};
  return choices;
}

OutFile out_file(const std::string& text, Command command) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || equals + 1 == text.size()) {
    refuse(fmt::format("--out wants FORMAT=FILE, such as json=report.json, not `{}`.", text));
  }
  if (text.substr(equals + 1) == "-") refuse("--out writes files; for standard output use --format.");
  return {chosen("--out", text.substr(0, equals), formats_of(command)), text.substr(equals + 1)};
}

/// The whole of a text as a number from 1 to `most`.
template <class Number>
std::optional<Number> count_in(const std::string& text, Number most) {
  Number count = 0;
  const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), count);
  const bool whole = trouble == std::errc() && end == text.data() + text.size();
  if (!whole || count == 0 || count > most) return std::nullopt;
  return count;
}

unsigned thread_count(const std::string& text) {
  if (text.empty()) return 0;
  const std::optional<unsigned> count = count_in(text, most_threads);
  if (!count) refuse(fmt::format("--threads wants a number from 1 to {}, not `{}`.", most_threads, text));
  return *count;
}

std::uint64_t byte_count(const std::string& text) {
  if (text.empty()) return 0;
  const std::optional<std::uint64_t> count = count_in(text, std::numeric_limits<std::uint64_t>::max());
  if (!count) refuse(fmt::format("--max-bytes wants a number of bytes, such as 2000000000, not `{}`.", text));
  return *count;
}

/// Options of the command in use and those above it, as typed.
std::vector<std::string> option_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

std::vector<std::string> command_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    names.push_back(command->get_name());
  }
  return names;
}

const CLI::App& innermost(const CLI::App& app) {
  const CLI::App* inner = &app;
  while (!inner->get_subcommands().empty()) inner = inner->get_subcommands().back();
  return *inner;
}

std::string called(const CLI::App& app) {
  return app.get_parent() == nullptr ? app.get_name() : called(*app.get_parent()) + ' ' + app.get_name();
}

[[noreturn]] void refuse_extra(const CLI::App& app) {
  const CLI::App& inner = innermost(app);
  const std::vector<std::string> extras = app.remaining(true);
  const std::string extra = extras.empty() ? std::string() : extras.front();
  if (extra.starts_with("-") && extra.size() > 1) {
    const std::string name = extra.substr(0, extra.find('='));
    refuse(fmt::format("{} has no option `{}`; {}", called(inner), name, instead_of(name, option_names(inner))));
  }
  const std::vector<std::string> commands = command_names(inner);
  if (!commands.empty()) {
    refuse(fmt::format("{} has no command `{}`; {}", called(inner), extra, instead_of(extra, commands)));
  }
  refuse(fmt::format("{} does not know what to do with `{}`.", called(inner), extra));
}

bool writes(const Options& options, Format format) {
  return options.format == format || std::any_of(options.outs.begin(), options.outs.end(),
                                                 [&](const OutFile& out) { return out.format == format; });
}

/// What the reports that are asked for need beyond the findings; baselines.
void take_check_options(const Given& given, Options& options) {
  const bool html = writes(options, Format::html);
  if (!given.report_data.empty()) {
    if (!html) refuse("--report-data is what an html report draws: ask for one, by --out html=report.html.");
    options.analyse.report_data =
        chosen("--report-data", given.report_data,
               Choices<ReportData>{
                   {"findings", ReportData::findings}, {"full", ReportData::full}, {"none", ReportData::none}});
  } else if (html) {
    options.analyse.report_data = ReportData::findings;
  }
  options.analyse.line_spots = writes(options, Format::sarif);
  // Following the melt once more costs 4 % of a check: for whoever sits before it alone. A file says the same from
  // wherever it is written.
  const bool for_a_person = options.command == Command::check && options.files.size() == 1 && !options.quiet &&
                            options.format == Format::text && on_terminal();
  const bool text_file = std::any_of(options.outs.begin(), options.outs.end(),
                                     [](const OutFile& out) { return out.format == Format::text; });
  options.analyse.melt_series = for_a_person && !text_file;
  if (!given.baseline.empty()) options.baseline = given.baseline;
  if (!given.write_baseline.empty()) options.write_baseline = given.write_baseline;
}

/// A finite number from the whole of a text.
std::optional<double> number_in(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ')) text.remove_suffix(1);
  double value = 0;
  const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (trouble != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

/// "3.4", or "3-5" from the lesser to the greater.
std::optional<Range> range_in(const std::string& text) {
  const std::size_t dash = text.find('-', 1);
  const std::optional<double> low = number_in(std::string_view(text).substr(0, dash));
  const std::optional<double> high =
      dash == std::string::npos ? low : number_in(std::string_view(text).substr(dash + 1));
  if (!low || !high || *low > *high) return std::nullopt;
  return Range{*low, *high};
}

/// What was seen on the print and where, of `diagnose`.
void take_seen(const Given& given, Options& options) {
  options.symptoms = given.symptoms;
  if (!given.layer.empty()) {
    options.layers = range_in(given.layer);
    if (!options.layers || options.layers->low < 1) {
      refuse(
          fmt::format("--layer wants a layer, or the first and the last, such as 12 or 12-18, not `{}`.", given.layer));
    }
  }
  if (!given.height.empty()) {
    options.height_mm = range_in(given.height);
    if (!options.height_mm) {
      refuse(fmt::format("--height wants millimetres above the plate, such as 3.4 or 3-5, not `{}`.", given.height));
    }
  }
  if (!given.at.empty()) {
    const std::size_t comma = given.at.find(',');
    const std::optional<double> x = number_in(std::string_view(given.at).substr(0, comma));
    const std::optional<double> y =
        comma == std::string::npos ? std::nullopt : number_in(std::string_view(given.at).substr(comma + 1));
    if (!x || !y) refuse(fmt::format("--at wants a place on the plate in mm, such as 40.5,22, not `{}`.", given.at));
    options.at_mm = std::array<double, 2>{*x, *y};
  }
}

Options options_from(const Given& given, Command command) {
  Options options;
  options.command = command;
  options.files = given.files;
  for (const std::string& file : {given.before, given.after})
    if (!file.empty()) options.files.push_back(file);
  options.check = given.check;
  options.format = chosen("--format", given.format, formats_of(command));
  for (const std::string& out : given.outs) options.outs.push_back(out_file(out, command));
  options.gate = chosen("--gate", given.gate, gates());
  options.per =
      chosen("--per", given.per, Choices<Per>{{"job", Per::job}, {"layer", Per::layer}, {"object", Per::object}});
  options.color =
      chosen("--color", given.color,
             Choices<Color>{{"auto", Color::automatic}, {"always", Color::always}, {"never", Color::never}});
  options.quiet = given.quiet;
  options.analyse.threads = thread_count(given.threads);
  options.max_bytes = byte_count(given.max_bytes);
  if (!given.profile.empty()) options.analyse.profile = given.profile;
  options.analyse.sets = given.sets;
  options.analyse.only = given.only;
  options.analyse.skip = given.skip;
  options.analyse.run_checks = command == Command::check || command == Command::diagnose || command == Command::compare;
  options.analyse.per_layer = options.per == Per::layer;
  options.analyse.per_object = options.per == Per::object;
  take_check_options(given, options);
  take_seen(given, options);
  if (!given.series.empty()) {
    options.analyse.series =
        chosen("--series", given.series,
               Choices<Series>{{"flow", Series::flow}, {"core", Series::core}, {"speed", Series::speed}});
    if (given.per != "job") refuse("--series and --per are two questions: ask one at a time.");
    const bool other_out = std::any_of(options.outs.begin(), options.outs.end(),
                                       [](const OutFile& out) { return out.format != Format::csv; });
    if (options.format == Format::json || other_out)
      refuse("--series writes CSV: leave --format out, and write --out csv=FILE.");
  }
  return options;
}

void want_file(const Options& options, std::string_view command) {
  if (options.files.empty()) refuse(fmt::format("{0} needs a file, such as: {0} row-label.gcode", command));
}

/// What the parser alone cannot know to be missing.
Options complete(Options options) {
  switch (options.command) {
    case Command::check:
      want_file(options, "beadwise check");
      break;
    case Command::measure:
      want_file(options, "beadwise measure");
      break;
    case Command::diagnose:
      if (options.asks_for_symptoms()) break;
      want_file(options, "beadwise diagnose");
      if (options.files.size() > 1) refuse("beadwise diagnose takes one file.");
      if (options.symptoms.empty()) {
        refuse("beadwise diagnose needs what was seen, such as: --symptom \"it strings\"; --symptom help lists them.");
      }
      break;
    case Command::compare:
      if (options.files.size() != 2) {
        refuse("beadwise compare needs two files, such as: beadwise compare before.gcode after.gcode");
      }
      break;
    case Command::calibrate:
      if (options.files.empty())
        refuse("beadwise calibrate needs a table of slip, such as: beadwise calibrate slip.csv");
      if (options.files.size() > 1) refuse("beadwise calibrate takes one table.");
      break;
    case Command::profile_show:
      want_file(options, "beadwise profile show");
      if (options.files.size() > 1) refuse("beadwise profile show takes one file.");
      break;
    case Command::profile_new:
      if (options.files.empty()) refuse("beadwise profile new needs a file to start from: --from FILE.");
      break;
    case Command::explain:
      if (options.check.empty()) refuse("beadwise explain needs the name of a check; beadwise checks lists them.");
      break;
    case Command::checks:
    case Command::profile_schema:
      break;
  }
  return options;
}

Command command_in(const CLI::App& app) {
  const CLI::App& inner = innermost(app);
  const std::string name = called(inner);
  const Choices<Command> commands = {{"beadwise check", Command::check},
                                     {"beadwise measure", Command::measure},
                                     {"beadwise diagnose", Command::diagnose},
                                     {"beadwise compare", Command::compare},
                                     {"beadwise calibrate", Command::calibrate},
                                     {"beadwise explain", Command::explain},
                                     {"beadwise checks", Command::checks},
                                     {"beadwise profile show", Command::profile_show},
                                     {"beadwise profile new", Command::profile_new},
                                     {"beadwise profile schema", Command::profile_schema}};
  for (const auto& [words, command] : commands) {
    if (words == name) return command;
  }
  refuse(fmt::format("{} needs a command: {}. See {} --help", name, fmt::join(command_names(inner), ", "), name));
}

}  // namespace

std::variant<Options, Answer> parse_options(int argc, const char* const* argv) {
  Given given;
  CLI::App app("", "beadwise");
  fill_option_table(app, given);
  try {
    app.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    return Answer{app.help()};
  } catch (const CLI::CallForVersion& answer) {
    return Answer{std::string(answer.what()) + '\n'};
  } catch (const CLI::ExtrasError&) {
    refuse_extra(app);
  } catch (const CLI::RequiredError& error) {
    if (!app.remaining(true).empty()) refuse_extra(app);
    complete(options_from(given, command_in(app)));
    refuse(fmt::format("{} (see {} --help)", error.what(), called(innermost(app))));
  } catch (const CLI::ParseError& error) {
    refuse(fmt::format("{} (see {} --help)", error.what(), called(innermost(app))));
  }
  return complete(options_from(given, command_in(app)));
}

}  // namespace beadwise::cli
