#include "cli/option_table.hpp"

#include <string>
#include <vector>

#include "beadwise/version.hpp"

namespace beadwise::cli {

namespace {

constexpr const char* exit_statuses =
    "Ends with 0 where nothing stands at or above the gate, 1 where something does,\n"
    "2 for a wrong command line or profile, 3 for a file that could not be read to\n"
    "its end.";

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

void add_max_bytes(CLI::App& app, Given& given) {
  app.add_option("--max-bytes", given.max_bytes, "Read no more than this of a file, unpacked")->type_name("N");
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

void add_gate(CLI::App& app, Given& given) {
  app.add_option("--gate", given.gate, "Status 1 from error, warning, note, or none")->type_name("SEVERITY");
}

void add_check(CLI::App& app, Given& given) {
  CLI::App* check = app.add_subcommand("check", "Find what will fail; say what to change");
  add_files(*check, given);
  add_outs(*check, given, "text, json, sarif, junit, html, markdown");
  check->add_option("--report-data", given.report_data, "What html draws: findings, full, or none")->type_name("DATA");
  add_gate(*check, given);
  check->add_option("--baseline", given.baseline, "Accept the findings noted in this file")->type_name("FILE");
  check->add_option("--write-baseline", given.write_baseline, "Note the findings in this file")->type_name("FILE");
  add_repeatable(*check, "--only", given.only, "Run these checks alone")->delimiter(',')->type_name("CHECK,...");
  add_repeatable(*check, "--skip", given.skip, "Leave these checks out")->delimiter(',')->type_name("CHECK,...");
  add_profile(*check, given);
  add_threads(*check, given);
  add_max_bytes(*check, given);
  add_color(*check, given);
  check->add_flag("--quiet", given.quiet, "The verdict, errors and warnings alone");
  check->footer(std::string("Examples:\n") +
                "  beadwise check row-label.gcode\n"
                "  beadwise check --gate warning --out json=report.json plates/\n"
                "  beadwise check --out html=row-label.html row-label.gcode\n"
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
  add_max_bytes(*measure, given);
  add_color(*measure, given);
  measure->footer(
      "Examples:\n"
      "  beadwise measure row-label.gcode\n"
      "  beadwise measure --per layer --format csv row-label.gcode > layers.csv\n"
      "  beadwise measure --series flow row-label.gcode > flow.csv");
}

void add_diagnose(CLI::App& app, Given& given) {
  CLI::App* diagnose = app.add_subcommand("diagnose", "From what was seen on the print to its causes");
  diagnose->add_option("FILE", given.files, "A sliced file; - is standard input")->type_name("");
  add_repeatable(*diagnose, "--symptom", given.symptoms, "What was seen, as in \"it strings\"; help lists them")
      ->type_name("WORDS");
  diagnose->add_option("--layer", given.layer, "Seen on this layer, or from one to another: 12, 12-18")
      ->type_name("LAYERS");
  diagnose->add_option("--height", given.height, "Seen so many mm above the plate: 3.4, 3-5")->type_name("MM");
  diagnose->add_option("--at", given.at, "Seen near this place of the plate, in mm")->type_name("X,Y");
  add_outs(*diagnose, given, "text, json, markdown");
  add_profile(*diagnose, given);
  add_threads(*diagnose, given);
  add_max_bytes(*diagnose, given);
  add_color(*diagnose, given);
  diagnose->footer(
      "Examples:\n"
      "  beadwise diagnose row-label.gcode --symptom stringing\n"
      "  beadwise diagnose row-label.gcode --symptom \"it clogs halfway\" --layer 12-18\n"
      "  beadwise diagnose --symptom help");
}

void add_compare(CLI::App& app, Given& given) {
  CLI::App* compare = app.add_subcommand("compare", "What a new slicing changed");
  compare->add_option("BEFORE", given.before, "A sliced file, or a report of check --format json")->type_name("");
  compare->add_option("AFTER", given.after, "The same part sliced anew, or a report of it")->type_name("");
  add_outs(*compare, given, "text, json, markdown");
  add_gate(*compare, given);
  add_profile(*compare, given);
  add_threads(*compare, given);
  add_max_bytes(*compare, given);
  add_color(*compare, given);
  compare->add_flag("--quiet", given.quiet, "What is new or worse alone");
  compare->footer(
      "The gate looks at what is new or worse alone.\n\n"
      "Examples:\n"
      "  beadwise compare row-label.gcode row-label-slower.gcode\n"
      "  beadwise compare last-week.json row-label.gcode");
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
  add_max_bytes(*show, given);
  add_color(*show, given);
  show->footer("Example:\n  beadwise profile show row-label.gcode");
  CLI::App* create = profile->add_subcommand("new", "A profile to start from, guessed from a file");
  create->add_option("--from", given.files, "A sliced file; - is standard input")
      ->type_name("FILE")
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeLast)
      ->required();
  add_profile(*create, given);
  add_max_bytes(*create, given);
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

}  // namespace

void fill_option_table(CLI::App& app, Given& given) {
  app.description(
      "Reads sliced toolpath files before they are printed: what will fail, where,\nwhy, and what to change.");
  app.set_version_flag("--version", "beadwise " + std::string(version()), "The program's version");
  app.set_help_flag("--help,-h", "This text");
  app.footer("Example:\n  beadwise check row-label.gcode\n\nMore on a command: beadwise COMMAND --help");
  app.get_formatter()->label("SUBCOMMAND", "COMMAND");
  app.get_formatter()->column_width(28);
  app.require_subcommand(1);
  add_check(app, given);
  add_measure(app, given);
  add_diagnose(app, given);
  add_compare(app, given);
  add_calibrate(app, given);
  add_explain(app, given);
  add_checks(app, given);
  add_profile_commands(app, given);
  name_the_groups(app);
}

}  // namespace beadwise::cli
