#include "layering/layers.hpp"

#include <optional>
#include <sstream>
#include <stdexcept>

namespace beadwise::tests {

namespace {

std::vector<std::string> words_of(const std::string& text) {
  std::istringstream stream(text);
  std::vector<std::string> words;
  for (std::string word; stream >> word;) words.push_back(word);
  return words;
}

std::vector<std::string> parts_of(const std::string& path) {
  std::istringstream stream(path);
  std::vector<std::string> parts;
  for (std::string part; std::getline(stream, part, '/');) parts.push_back(part);
  return parts;
}

void add_row(Layers& layers, const std::string& line) {
  const std::size_t colon = line.find(':');
  const std::size_t bar = line.find('|');
  if (colon == std::string::npos || bar == std::string::npos || bar < colon)
    throw std::runtime_error("lib/layers.txt: no row of the table: " + line);
  const std::vector<std::string> room = words_of(line.substr(0, colon));
  const std::string others = line.substr(colon + 1, bar - colon - 1);
  if (room.size() != 1) throw std::runtime_error("lib/layers.txt: a row names one room: " + line);
  std::set<std::string> allowed;
  if (others.find("all of the above") != std::string::npos) {
    for (const auto& [name, unused] : layers.may_include) allowed.insert(name);
  } else {
    for (const std::string& name : words_of(others)) allowed.insert(name);
  }
  layers.may_include[room[0]] = allowed;
  for (const std::string& header : words_of(line.substr(bar + 1))) layers.room_of_header[header] = room[0];
}

/// What stands between the quotes of an `#include "…"`.
std::optional<std::string> quoted_include(const std::string& line) {
  const std::size_t hash = line.find_first_not_of(" \t");
  if (hash == std::string::npos || line[hash] != '#') return std::nullopt;
  const std::size_t word = line.find("include", hash);
  const std::size_t open = line.find('"', hash);
  if (word == std::string::npos || open == std::string::npos) return std::nullopt;
  return line.substr(open + 1, line.find('"', open + 1) - open - 1);
}

std::string without_extension(const std::string& name) { return name.substr(0, name.rfind('.')); }

/// The room that a path from lib/ or an include belongs to; empty where it belongs to none.
std::string room_of(const Layers& layers, const std::vector<std::string>& parts) {
  if (parts.size() < 2) return {};
  if (parts[0] == "beadwise") {
    const auto header = layers.room_of_header.find(without_extension(parts[1]));
    return header == layers.room_of_header.end() ? std::string() : header->second;
  }
  return layers.may_include.count(parts[0]) != 0 ? parts[0] : std::string();
}

/// "low_travel" of checks/low_travel/…; empty elsewhere, also in what the checks share.
std::string check_of(const std::vector<std::string>& parts) {
  if (parts.size() < 3 || parts[0] != "checks" || parts[1] == "support") return {};
  return parts[1];
}

}  // namespace

Layers read_layers(std::string_view text) {
  Layers layers;
  std::istringstream stream{std::string(text)};
  for (std::string line; std::getline(stream, line);) {
    if (line.empty() || line[0] == '#') continue;
    add_row(layers, line);
  }
  return layers;
}

std::vector<std::string> forbidden_includes(const Layers& layers, const SourceFile& file) {
  std::vector<std::string> path = parts_of(file.path);
  path.erase(path.begin());  // src or include
  const std::string room = room_of(layers, path);
  if (room.empty()) return {file.path + " belongs to no room of lib/layers.txt"};

  std::vector<std::string> found;
  std::istringstream stream(file.text);
  for (std::string line; std::getline(stream, line);) {
    const std::optional<std::string> included = quoted_include(line);
    if (!included) continue;
    const std::vector<std::string> parts = parts_of(*included);
    const std::string other = room_of(layers, parts);
    const bool allowed = other == room || layers.may_include.at(room).count(other) != 0;
    if (other.empty())
      found.push_back(file.path + " includes " + *included + ", which belongs to no room");
    else if (!allowed)
      found.push_back(file.path + " includes " + *included + ": " + room + " may not include " + other);
    else if (!check_of(parts).empty() && check_of(parts) != check_of(path))
      found.push_back(file.path + " includes " + *included + ": no check includes another");
  }
  return found;
}

}  // namespace beadwise::tests
