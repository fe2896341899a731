#include "cli/options.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

#include "beadwise/error.hpp"
#include "beadwise/version.hpp"
#include "cli/nearest_name.hpp"

namespace beadwise::cli {

namespace {

constexpr unsigned most_threads = 1024;

constexpr const char* exit_statuses =
    "Ends with 0 where nothing stands at or above the gate, 1 where something does,\n"
    "2 for a wrong command line or profile, 3 for a file that could not be read to\n"
    "its end.";

/// What CLI11 fills in; texts still, so that every wrong one gets a sentence of ours.
struct Given {
  std::vector<std::string> files;
  std::string check;
  std::string format = "text";
  std::vector<std::string> outs;
  std::string gate = "error";
  std::string per = "job";
  std::string series;
  std::string color = "auto";
  std::string threads;
  std::string profile;
  std::vector<std::string> sets;
  std::vector<std::string> only;
  std::vector<std::string> skip;
  bool quiet = false;
};

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

unsigned thread_count(const std::string& text) {
  if (text.empty()) return 0;
  unsigned count = 0;
  const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), count);
  const bool whole = trouble == std::errc() && end == text.data() + text.size();
  if (!whole || count == 0 || count > most_threads) {
    refuse(fmt::format("--threads wants a number from 1 to {}, not `{}`.", most_threads, text));
  }
  return count;
}

/// One value per `--option`, so that the file after it is not swallowed.
CLI::Option* add_repeatable(CLI::App& app, const std::string& name, std::vector<std::string>& values,
                            const std::string& meaning) {
  return app.add_option(name, values, meaning)
      ->type_size(1)
      ->expected(1)
      ->allow_extra_args(false)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

void add_color(CLI::App& app, Given& given) {
  app.add_option("--color", given.color, "Colour: auto (on a terminal), always, never")->type_name("WHEN");
}

void add_threads(CLI::App& app, Given& given) {
  app.add_option("--threads", given.threads, "Threads to work with; else as many as cores")->type_name("N");
}

void add_profile(CLI::App& app, Given& given) {
  app.add_option("--profile", given.profile, "Use this profile, not the file's beadwise.toml")->type_name("FILE");
  add_repeatable(app, "--set", given.sets, "State a value: machine.liner=true; repeatable")->type_name("KEY=VALUE");
}

void add_files(CLI::App& app, Given& given) {
  app.add_option("FILE", given.files, "Sliced files, folders; - is standard input")->type_name("")->required();
}

void add_outs(CLI::App& app, Given& given, const std::string& formats) {
  app.add_option("--format", given.format, "On standard output: " + formats)->type_name("FORMAT");
  add_repeatable(app, "--out", given.outs, "Write this to a file, too; repeatable")->type_name("FORMAT=FILE");
}

void add_check(CLI::App& app, Given& given) {
  CLI::App* check = app.add_subcommand("check", "Find what will fail; say what to change");
  add_files(*check, given);
  add_outs(*check, given, "text, json");
  check->add_option("--gate", given.gate, "Status 1 from error, warning, note, or none")->type_name("SEVERITY");
  add_repeatable(*check, "--only", given.only, "Run these checks alone")->delimiter(',')->type_name("CHECK,...");
  add_repeatable(*check, "--skip", given.skip, "Leave these checks out")->delimiter(',')->type_name("CHECK,...");
  add_profile(*check, given);
  add_threads(*check, given);
  add_color(*check, given);
  check->add_flag("--quiet", given.quiet, "The verdict, errors and warnings alone");
  check->footer(std::string("Examples:\n") +
                "  beadwise check row-label.gcode\n"
                "  beadwise check --gate warning --out json=report.json plates/\n"
                "  beadwise check --set machine.nozzle_diameter_mm=0.6 - < row-label.gcode\n\n" +
                exit_statuses);
}

void add_measure(CLI::App& app, Given& given) {
  CLI::App* measure = app.add_subcommand("measure", "Figures of a job, its layers or objects");
  add_files(*measure, given);
  add_outs(*measure, given, "text, json, csv");
  measure->add_option("--per", given.per, "One row per job, layer, object")->type_name("PART");
  measure->add_option("--series", given.series, "CSV over time instead: flow, core, speed")->type_name("SERIES");
  add_profile(*measure, given);
  add_threads(*measure, given);
  add_color(*measure, given);
  measure->footer(
      "Examples:\n"
      "  beadwise measure row-label.gcode\n"
      "  beadwise measure --per layer --format csv row-label.gcode > layers.csv\n"
      "  beadwise measure --series flow row-label.gcode > flow.csv");
}

void add_calibrate(CLI::App& app, Given& given) {
  CLI::App* calibrate = app.add_subcommand("calibrate", "A machine's own melt zone from measured rows");
  calibrate->add_option("TABLE", given.files, "Flow and nozzle temperature at slip, CSV; - is standard input")
      ->type_name("")
      ->required();
  add_outs(*calibrate, given, "text, json");
  add_profile(*calibrate, given);
  add_color(*calibrate, given);
  calibrate->add_flag("--quiet", given.quiet, "The values and the piece of a profile alone");
  calibrate->footer(
      "A line of the table: flow in mm³/s, then the nozzle temperature in °C at which the\n"
      "drive began to slip, such as 10,167. docs/calibrate.md tells how to measure it.\n\n"
      "Example:\n"
      "  beadwise calibrate --set filament.material=abs slip.csv");
}

void add_explain(CLI::App& app, Given& given) {
  CLI::App* explain = app.add_subcommand("explain", "The page of a check: why, limits, remedy");
  explain->add_option("CHECK", given.check, "Its name; beadwise checks lists them")->type_name("")->required();
  add_color(*explain, given);
  explain->footer("Example:\n  beadwise explain dense-retraction");
}

void add_checks(CLI::App& app, Given& given) {
  CLI::App* checks = app.add_subcommand("checks", "List the checks");
  checks->add_option("--format", given.format, "text, json")->type_name("FORMAT");
  add_color(*checks, given);
  checks->footer("Example:\n  beadwise checks --format json");
}

void add_profile_commands(CLI::App& app, Given& given) {
  CLI::App* profile = app.add_subcommand("profile", "What is known of machine and filament");
  profile->require_subcommand(1);
  profile->footer("Example:\n  beadwise profile show row-label.gcode");
  CLI::App* show = profile->add_subcommand("show", "Every value in use and where it came from");
  show->add_option("FILE", given.files, "A sliced file; - is standard input")->type_name("")->required();
  show->add_option("--format", given.format, "text, json")->type_name("FORMAT");
  add_profile(*show, given);
  add_color(*show, given);
  show->footer("Example:\n  beadwise profile show row-label.gcode");
  CLI::App* create = profile->add_subcommand("new", "A profile to start from, guessed from a file");
  create->add_option("--from", given.files, "A sliced file; - is standard input")
      ->type_name("FILE")
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeLast)
      ->required();
  add_profile(*create, given);
  create->footer("Example:\n  beadwise profile new --from row-label.gcode > beadwise.toml");
  CLI::App* schema = profile->add_subcommand("schema", "The JSON Schema of a profile, for editors");
  schema->footer("Example:\n  beadwise profile schema > beadwise.schema.json");
}

/// "Commands" above every list of commands.
void name_the_groups(CLI::App& app) {
  for (CLI::App* command : app.get_subcommands([](CLI::App*) { return true; })) {
    command->group("Commands");
    name_the_groups(*command);
  }
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

Options options_from(const Given& given, Command command) {
  Options options;
  options.command = command;
  options.files = given.files;
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
  if (!given.profile.empty()) options.analyse.profile = given.profile;
  options.analyse.sets = given.sets;
  options.analyse.only = given.only;
  options.analyse.skip = given.skip;
  options.analyse.run_checks = command == Command::check;
  options.analyse.per_layer = options.per == Per::layer;
  options.analyse.per_object = options.per == Per::object;
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
  CLI::App app("Reads sliced toolpath files before they are printed: what will fail, where,\nwhy, and what to change.",
               "beadwise");
  app.set_version_flag("--version", "beadwise " + std::string(version()), "The program's version");
  app.set_help_flag("--help,-h", "This text");
  app.footer("Example:\n  beadwise check row-label.gcode\n\nMore on a command: beadwise COMMAND --help");
  app.get_formatter()->label("SUBCOMMAND", "COMMAND");
  app.get_formatter()->column_width(28);
  app.require_subcommand(1);
  add_check(app, given);
  add_measure(app, given);
  add_calibrate(app, given);
  add_explain(app, given);
  add_checks(app, given);
  add_profile_commands(app, given);
  name_the_groups(app);
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
