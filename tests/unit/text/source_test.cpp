#include "beadwise/source.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <filesystem>
#include <string>
#include <vector>

#include "beadwise/error.hpp"
#include "temporary_folder.hpp"

namespace beadwise::tests {

namespace {

std::vector<std::string> names_in(const std::filesystem::path& folder) {
  std::vector<std::string> names;
  for (const Source& source : sources_from_arguments({folder.string()})) {
    names.push_back(source.path.filename().string());
  }
  return names;
}

}  // namespace

TEST_CASE("a folder stands for the jobs directly in it, in order of name") {
  const TemporaryFolder folder;
  for (const char* name : {"c.gcode", "B.GCO", "a.g", "d.Gcode.GZ", "readme.txt", "gcode", ".g", "e.gcode.bak"}) {
    folder.write(name, "G28\n");
  }
  std::filesystem::create_directory(folder.path() / "old.gcode");
  CHECK(names_in(folder.path()) == std::vector<std::string>{"B.GCO", "a.g", "c.gcode", "d.Gcode.GZ"});
}

TEST_CASE("of a folder pipes are passed over, which nobody may ever write to; a link that leads nowhere is a job") {
  const TemporaryFolder folder;
  const std::filesystem::path job = folder.write("a.gcode", "G28\n");
  REQUIRE(::mkfifo((folder.path() / "b.gcode").c_str(), 0600) == 0);
  std::filesystem::create_symlink(job, folder.path() / "c.gcode");
  std::filesystem::create_symlink("nowhere.gcode", folder.path() / "d.gcode");
  std::filesystem::create_symlink(".", folder.path() / "e.gcode");
  CHECK(names_in(folder.path()) == std::vector<std::string>{"a.gcode", "c.gcode", "d.gcode"});
}

TEST_CASE("a folder without jobs is a wrong command line, and the sentence says which folder") {
  const TemporaryFolder folder;
  folder.write("readme.txt", "G28\n");
  try {
    sources_from_arguments({folder.path().string()});
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.kind() == ErrorKind::usage);
    CHECK(error.file() == folder.path().string());
    CHECK(error.sentence() == "this folder holds no *.gcode, *.gco or *.g file: name the files, or another folder");
  }
}

TEST_CASE("arguments keep their order; a dash is standard input, and a file need not exist yet") {
  const std::vector<Source> sources = sources_from_arguments({"b.gcode", "-", "no/such/a.gcode"});
  REQUIRE(sources.size() == 3);
  CHECK(sources[0].kind == Source::Kind::file);
  CHECK(sources[0].name == "b.gcode");
  CHECK(sources[1].kind == Source::Kind::standard_input);
  CHECK(sources[2].path == "no/such/a.gcode");
}

}  // namespace beadwise::tests
