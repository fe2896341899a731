#pragma once

#include <filesystem>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "beadwise/analyse.hpp"
#include "beadwise/diagnose.hpp"
#include "support/files.hpp"

namespace beadwise::tests {

/// These symptoms, nobody knows where.
inline Seen seeing(std::vector<Symptom> symptoms) {
  Seen seen;
  seen.symptoms = std::move(symptoms);
  return seen;
}

/// A row of examples/plates/expected.tsv: a plate, and the one check that it fails.
struct FailingPlate {
  std::string file;
  std::string check;
};

inline std::vector<FailingPlate> failing_plates() {
  std::istringstream lines(read_file(source_folder() / "examples/plates/expected.tsv"));
  std::vector<FailingPlate> plates;
  for (std::string line; std::getline(lines, line);) {
    std::istringstream cells(line);
    FailingPlate plate;
    std::getline(cells, plate.file, '\t');
    std::getline(cells, plate.check, '\t');
    if (plate.file != "file" && plate.check != "-") plates.push_back(plate);
  }
  return plates;
}

inline FileReport report_of_plate(const std::string& file) {
  AnalyseOptions options;
  options.per_layer = true;
  return analyse(Source::file(source_folder() / "examples/plates" / file), options);
}

/// What every case of every check makes it find.
inline const std::vector<Finding>& findings_of_all_cases() {
  static const std::vector<Finding> all = [] {
    std::vector<Finding> findings;
    for (const std::filesystem::path& path : files_below(source_folder() / "lib/src/checks", {".gcode"})) {
      if (!path.filename().string().starts_with("flagged_")) continue;
      std::string check = path.parent_path().parent_path().filename().string();
      for (char& letter : check) letter = letter == '_' ? '-' : letter;
      AnalyseOptions options;
      options.only = {check};
      const std::string text = read_file(path);
      std::istringstream lines(text);
      for (std::string line; std::getline(lines, line);)
        if (line.starts_with("; set: ")) options.sets.push_back(line.substr(7));
      const FileReport report = analyse(Source::memory("case.gcode", text), options);
      findings.insert(findings.end(), report.findings.begin(), report.findings.end());
    }
    return findings;
  }();
  return all;
}

}  // namespace beadwise::tests
