// The example plates against examples/plates/expected.tsv.
#include <doctest/doctest.h>

#include <set>
#include <sstream>

#include "beadwise/analyse.hpp"
#include "support/files.hpp"

namespace beadwise::tests {
namespace {

/// A row: the file, and the check and severity that it must give; "-" where it is clean.
struct Plate {
  std::string file, check, severity;
};

std::vector<Plate> expected_plates() {
  std::istringstream lines(read_file(source_folder() / "examples/plates/expected.tsv"));
  std::vector<Plate> plates;
  for (std::string line; std::getline(lines, line);) {
    std::istringstream cells(line);
    Plate plate;
    std::getline(cells, plate.file, '\t');
    std::getline(cells, plate.check, '\t');
    std::getline(cells, plate.severity, '\t');
    if (plate.file != "file") plates.push_back(plate);
  }
  return plates;
}

TEST_CASE("every example plate fails in the one way that is written beside it, or in none") {
  for (const Plate& plate : expected_plates()) {
    const FileReport report = analyse(Source::file(source_folder() / "examples/plates" / plate.file), {});
    bool found = plate.check == "-";
    for (const Finding& finding : report.findings) {
      INFO(plate.file, ": ", finding.check, ": ", finding.what);
      found = found || (finding.check == plate.check && to_string(finding.severity) == plate.severity);
      CHECK((finding.check == plate.check || finding.severity == Severity::note));
    }
    INFO(plate.file, " must give ", plate.check, " ", plate.severity);
    CHECK(found);
  }
}

TEST_CASE("every example plate has its row") {
  std::set<std::string> rows;
  for (const Plate& plate : expected_plates()) rows.insert(plate.file);
  const std::filesystem::path folder = source_folder() / "examples/plates";
  for (const std::filesystem::path& path : files_below(folder, {".gcode"})) {
    INFO(path.string());
    CHECK(rows.count(path.lexically_relative(folder).generic_string()) == 1);
  }
}

}  // namespace
}  // namespace beadwise::tests
