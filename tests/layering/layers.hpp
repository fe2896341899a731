#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace beadwise::tests {

/// What lib/layers.txt says.
struct Layers {
  std::map<std::string, std::set<std::string>> may_include;  ///< by room, without itself
  std::map<std::string, std::string> room_of_header;         ///< "error" is a public header of "base"
};

/// Throws std::runtime_error with the line that is no row of the table.
Layers read_layers(std::string_view text);

/// A source file: its path from lib/ ("src/text/block_reader.cpp", "include/beadwise/error.hpp") and what stands in it.
struct SourceFile {
  std::string path;
  std::string text;
};

/// One sentence for each include that the layers forbid.
std::vector<std::string> forbidden_includes(const Layers& layers, const SourceFile& file);

}  // namespace beadwise::tests
