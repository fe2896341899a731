#include "beadwise/diagnose.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "beadwise/analyse.hpp"
#include "beadwise/check.hpp"
#include "beadwise/error.hpp"
#include "cli/commands.hpp"
#include "cli/jobs.hpp"
#include "cli/nearest_name.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

[[noreturn]] void refuse(const std::string& sentence) { throw Error(ErrorKind::usage, "", 0, 0, sentence); }

std::vector<std::string> symptom_names() {
  std::vector<std::string> names;
  for (const Symptom symptom : all_symptoms) names.emplace_back(to_string(symptom));
  return names;
}

void refuse_unknown(const std::string& words) {
  refuse(fmt::format("--symptom `{}` is not understood; {} --symptom help tells each in plain words.", words,
                     instead_of(words, symptom_names())));
}

void refuse_unclear(const std::string& words, const std::vector<Symptom>& candidates) {
  std::string all;
  for (const Symptom candidate : candidates) {
    if (!all.empty()) all += candidate == candidates.back() ? ", or " : ", ";
    all += fmt::format("{} ({})", to_string(candidate), seen_as(candidate));
  }
  refuse(fmt::format("--symptom `{}` may be {}: which? Say so, such as --symptom {}.", words, all,
                     to_string(candidates.front())));
}

std::vector<Symptom> understood(const std::vector<std::string>& all_words) {
  std::vector<Symptom> symptoms;
  for (const std::string& words : all_words) {
    const UnderstoodWords meaning = understand(words);
    if (meaning.symptoms.empty()) refuse_unknown(words);
    if (!meaning.clear) refuse_unclear(words, meaning.symptoms);
    for (const Symptom symptom : meaning.symptoms)
      if (std::find(symptoms.begin(), symptoms.end(), symptom) == symptoms.end()) symptoms.push_back(symptom);
  }
  return symptoms;
}

std::string written_as(Format format, const Diagnosis& diagnosis, const TextStyle& style) {
  if (format == Format::json) return diagnosis_as_json(diagnosis);
  if (format == Format::markdown) return diagnosis_as_markdown(diagnosis);
  return diagnosis_as_text(diagnosis, style);
}

std::string symptoms_as(Format format, const TextStyle& style) {
  if (format == Format::json) return symptoms_as_json();
  if (format == Format::markdown) return symptoms_as_markdown();
  return symptoms_as_text(style);
}

ExitCode tell_symptoms(const Options& options) {
  for (const OutFile& out : options.outs) write_file(out.path, symptoms_as(out.format, file_style(options)));
  write_standard_output(symptoms_as(options.format, terminal_style(options)));
  return ExitCode::good;
}

}  // namespace

ExitCode run_diagnose(const Options& options) {
  if (options.asks_for_symptoms()) return tell_symptoms(options);
  const Seen seen{.symptoms = understood(options.symptoms),
                  .layers = options.layers,
                  .height_mm = options.height_mm,
                  .at_mm = options.at_mm};
  const Jobs jobs = find_jobs(options);
  if (jobs.sources.empty()) return jobs.status;
  if (jobs.sources.size() > 1) refuse("beadwise diagnose takes one file; this folder has several.");
  Options with_layers = options;
  with_layers.analyse.per_layer = true;
  with_layers.analyse.follow_melt = true;
  const std::vector<FileReport> reports = read_jobs(jobs, with_layers);
  // What was stated or is built in; what was guessed stands in the report.
  const Profile stated = load_profile(profile_request(jobs.sources.front(), options.analyse), known_checks());
  const Diagnosis diagnosis = diagnose(reports.front(), seen, stated);
  for (const OutFile& out : options.outs) write_file(out.path, written_as(out.format, diagnosis, file_style(options)));
  write_standard_output(written_as(options.format, diagnosis, terminal_style(options)));
  return std::max(jobs.status, reading_status(reports, options));
}

}  // namespace beadwise::cli
