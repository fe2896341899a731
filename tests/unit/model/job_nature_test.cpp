#include "model/job_nature.hpp"

#include <doctest/doctest.h>

#include <string>

#include "machine/machine.hpp"
#include "text/block_reader.hpp"

namespace beadwise {
namespace {

/// What a job made of `text` looks like.
JobNature nature_of(const std::string& text) {
  JobNature nature;
  nature.on_beginning(text);
  BlockReader reader(Source::memory("job", text));
  Machine machine{MachineSetup{}};
  Block block;
  ParsedBlock parsed;
  MoveBatch batch;
  while (reader.next(block)) {
    parse_block(block, parsed);
    machine.read(parsed);
  }
  machine.finish();
  while (machine.next(batch)) nature.on_moves(batch);
  return nature;
}

std::string looks_like(const std::string& text) { return nature_of(text).not_a_print().value_or("a print"); }

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

TEST_CASE("one bead makes a print, whatever else stands in the file") {
  CHECK(looks_like("G1 X10 E1\n") == "a print");
  CHECK(looks_like("M3\nG1 X10 Z-2\nG1 X20 E1\n") == "a print");
  CHECK(looks_like("Dear bench,\nplease print this label\nG1 X10 E1\n") == "a print");
}

TEST_CASE("filament pushed on the spot is no bead") { CHECK(looks_like("G1 E20 F300\nG1 Z5\n") != "a print"); }

TEST_CASE("M101 switches an extruder on: motions after it are beads, motions before it and after M103 are not") {
  CHECK(looks_like("G1 X5 Y5\nM101\nG1 X10\nM103\n") == "a print");
  CHECK(looks_like("M101\nM103\nG1 X10\n") != "a print");
  CHECK(looks_like("M101\nG1 Z10\nM103\n") != "a print");
  CHECK(nature_of("M101\nG1 X10\nM103\n").extruder_switched());
  CHECK(nature_of("G1 X10 E1\nM101\n").extruder_switched());
  CHECK_FALSE(nature_of("G1 X10 E1\n").extruder_switched());
}

TEST_CASE("a spindle makes a milling program, with the depth of its cuts") {
  const std::string what = looks_like("G21\nM3 S9000\nG0 X20 Y20\nG1 Z-6\nG0 Z10\nG0 X0\nM5\nM30\n");
  CHECK(holds(what, "a milling program"));
  CHECK(holds(what, "M3 and M5"));
  CHECK(holds(what, "Z -6.00 mm"));
}

TEST_CASE("a switched tool that never moves in Z is a laser or a plotter") {
  CHECK(holds(looks_like("G0 Z5\nG0 X1 Y1\nM4\nG1 X20 S800\nG1 Y20\nM5\n"), "a laser's or a plotter's program"));
}

TEST_CASE("heaters and motions without a bead are a start script") {
  CHECK(holds(looks_like("G28\nM104 S210\nM140 S60\nG1 Z15\n"), "a start script"));
  CHECK(holds(looks_like("BENCH_START NOZZLE_HEAT=210\n"), "a start script"));
  CHECK(holds(looks_like("M104 S210\nM109 S210\n"), "a start script"));
}

TEST_CASE("a heated path that climbs through three heights with a hundred motions is a print fed by other means") {
  std::string path = "M109 S35\n";
  for (int layer = 1; layer <= 3; ++layer) {
    path += "G1 Z" + std::to_string(layer) + "\n";
    for (int i = 0; i < 34; ++i) path += "G1 X" + std::to_string(i % 2 * 50) + " Y" + std::to_string(i) + "\n";
  }
  CHECK(looks_like(path) == "a print");
  // 102 motions at three heights; without the heater the same path is some other machine's.
  CHECK(looks_like(path.substr(path.find('\n') + 1)) != "a print");
}

TEST_CASE("what holds no command is named by what it is") {
  CHECK(looks_like("(942, 942)\n(944, 942)\n(945, 943)\n") == "a list of coordinates");
  CHECK(looks_like("12.5 33.1\n12.6 33.4\n") == "a list of coordinates");
  CHECK(looks_like("Dear friends,\nplease print forty row labels\nbefore Friday evening\n") == "text");
  CHECK(looks_like("; nothing was sliced\n") == "a file of comments");
  CHECK(looks_like("\n\n\n") == "a file of blank lines");
  CHECK(looks_like(std::string(600, '\x01')) == "binary data");
}

TEST_CASE("the mark of an archive settles it, even where a print lies in it unpacked") {
  std::string tar(512, '\0');
  tar.replace(257, 5, "ustar");
  CHECK(looks_like(tar + "\nG1 X10 E1\n") == "a tar archive");
  CHECK(looks_like("PK\x03\x04 and more\n") == "a ZIP archive or a project in one");
}

}  // namespace
}  // namespace beadwise
