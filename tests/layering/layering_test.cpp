#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "layering/layers.hpp"
#include "support/files.hpp"

namespace beadwise::tests {
namespace {

Layers layers_in_force() { return read_layers(read_file(source_folder() / "lib/layers.txt")); }

std::vector<SourceFile> files_of_the_library() {
  std::vector<SourceFile> files;
  const std::filesystem::path lib = source_folder() / "lib";
  for (const char* folder : {"src", "include"}) {
    for (const std::filesystem::path& path : files_below(lib / folder, {".cpp", ".hpp"})) {
      if (path.filename() == "check_test.cpp") continue;  // a test: it may look everywhere
      files.push_back({.path = path.lexically_relative(lib).generic_string(), .text = read_file(path)});
    }
  }
  return files;
}

std::vector<std::string> planted(const std::string& path, const std::string& include) {
  return forbidden_includes(layers_in_force(), {.path = path, .text = "#pragma once\n#include " + include + "\n"});
}

TEST_CASE("every room includes only what lib/layers.txt allows") {
  const Layers layers = layers_in_force();
  const std::vector<SourceFile> files = files_of_the_library();
  CHECK(files.size() > 10);
  for (const SourceFile& file : files) {
    for (const std::string& sentence : forbidden_includes(layers, file)) FAIL_CHECK(sentence);
  }
}

TEST_CASE("the rows of lib/layers.txt depend leftwards only") {
  std::vector<std::string> above;
  const std::string text = read_file(source_folder() / "lib/layers.txt");
  const Layers layers = layers_in_force();
  CHECK(layers.may_include.size() >= 10);
  CHECK(layers.may_include.at("base").empty());
  for (const auto& row : layers.may_include) {
    const std::string& room = row.first;
    for (const std::string& other : row.second) {
      INFO(room, " may include ", other);
      CHECK(text.find("\n" + other) < text.find("\n" + room));
    }
  }
}

TEST_CASE("a planted include of a room to the right is found") {
  CHECK(planted("src/text/block_reader.cpp", "\"report/text.hpp\"").size() == 1);
  CHECK(planted("src/text/block_reader.cpp", "\"beadwise/report.hpp\"").size() == 1);
  CHECK(planted("include/beadwise/move.hpp", "\"beadwise/bead.hpp\"").size() == 1);
  CHECK(planted("src/report/json.cpp", "\"model/layers.hpp\"").size() == 1);
}

TEST_CASE("a planted include of another check is found") {
  CHECK(planted("src/checks/low_travel/check.cpp", "\"checks/open_travel/travels.hpp\"").size() == 1);
  CHECK(planted("src/checks/support/travels.hpp", "\"checks/low_travel/travels.hpp\"").size() == 1);
  CHECK(planted("src/checks/known_checks.cpp", "\"checks/low_travel/travels.hpp\"").size() == 1);
}

TEST_CASE("an include that names no room, and a file in no room, are found") {
  CHECK(planted("src/text/block_reader.cpp", "\"block_reader.hpp\"").size() == 1);
  CHECK(planted("src/text/block_reader.cpp", "\"beadwise/unheard_of.hpp\"").size() == 1);
  CHECK(planted("src/attic/thing.cpp", "\"beadwise/error.hpp\"").size() == 1);
}

TEST_CASE("what the layers allow is left alone") {
  CHECK(planted("src/text/block_reader.cpp", "\"beadwise/error.hpp\"").empty());
  CHECK(planted("src/text/block_reader.cpp", "\"text/gunzip.hpp\"").empty());
  CHECK(planted("src/text/block_reader.cpp", "<vector>").empty());
  CHECK(planted("src/checks/low_travel/check.cpp", "\"checks/low_travel/travels.hpp\"").empty());
  CHECK(planted("src/checks/low_travel/check.cpp", "\"checks/support/travels.hpp\"").empty());
  CHECK(planted("src/analyse/analyse.cpp", "\"report/json.hpp\"").empty());
}

TEST_CASE("nothing in the library writes to the terminal") {
  for (const SourceFile& file : files_of_the_library()) {
    for (const char* word :
         {"<iostream>", "std::cout", "std::cerr", " printf(", "std::printf(", "fprintf(", "fmt::print(", "puts("}) {
      INFO(file.path, " holds ", word);
      CHECK(file.text.find(word) == std::string::npos);
    }
  }
}

TEST_CASE("the command line includes the library's public headers and its own, nothing else of the library") {
  const Layers layers = layers_in_force();
  for (const std::filesystem::path& path : files_below(source_folder() / "cli", {".cpp", ".hpp"})) {
    const std::string text = read_file(path);
    for (const auto& row : layers.may_include) {
      const std::string& room = row.first;
      INFO(path.filename().string(), " includes from ", room);
      CHECK(text.find("#include \"" + room + "/") == std::string::npos);
    }
  }
}

}  // namespace
}  // namespace beadwise::tests
