#include "profile/document.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cerrno>
#include <fstream>
#include <system_error>
#include <vector>

#include "beadwise/error.hpp"

namespace beadwise {

namespace {

// A profile with thousands of acceptances is far smaller; a device never ends.
constexpr std::size_t most_bytes = 16 * 1024 * 1024;

std::string contents_of(const std::filesystem::path& file, const std::string& name) {
  std::error_code ignored;
  const std::filesystem::file_status status = std::filesystem::status(file, ignored);
  if (std::filesystem::is_directory(status)) {
    throw Error(ErrorKind::profile, name, 0, 0, "is a folder; name the profile file in it");
  }
  // It is read once for each job, and a pipe gives its bytes once.
  if (std::filesystem::is_fifo(status)) {
    throw Error(ErrorKind::profile, name, 0, 0, "is a pipe; write the profile to a file and name that");
  }
  errno = 0;
  std::ifstream stream(file, std::ios::binary);
  std::string text;
  std::array<char, 1 << 14> piece{};
  while (text.size() <= most_bytes && stream) {
    stream.read(piece.data(), piece.size());
    text.append(piece.data(), static_cast<std::size_t>(stream.gcount()));
  }
  if (text.size() > most_bytes) {
    throw Error(ErrorKind::profile, name, 0, 0, "is too large for a profile; name that, not a print");
  }
  if (!stream.is_open() || stream.bad()) {
    throw Error(ErrorKind::profile, name, 0, 0,
                fmt::format("cannot be read: {}", std::generic_category().message(errno)));
  }
  return text;
}

// A sentence goes on one line; a control character in it is the person's, or the one that the parser stopped at.
std::string on_one_line(std::string_view text) {
  std::string line;
  for (const char c : text) {
    if (c == '\n')
      line += "\\n";
    else if (static_cast<unsigned char>(c) < 0x20)
      line += ' ';
    else
      line += c;
  }
  return line;
}

std::string reason_of(const toml::parse_error& error) {
  constexpr std::string_view said_already = "Error ";
  std::string_view text = error.description();
  if (text.starts_with(said_already)) text.remove_prefix(said_already.size());
  return on_one_line(text);
}

bool is_bare_word(std::string_view text) {
  const auto in_word = [](unsigned char c) { return std::isalnum(c) || c == '_' || c == '-'; };
  if (text.empty() || !std::isalpha(static_cast<unsigned char>(text.front()))) return false;
  if (text == "true" || text == "false" || text == "nan" || text == "inf") return false;
  return std::all_of(text.begin(), text.end(), in_word);
}

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

std::vector<std::string_view> split_at_dots(std::string_view path) {
  std::vector<std::string_view> parts;
  for (std::size_t dot = path.find('.'); dot != std::string_view::npos; dot = path.find('.')) {
    parts.push_back(trimmed(path.substr(0, dot)));
    path.remove_prefix(dot + 1);
  }
  parts.push_back(trimmed(path));
  return parts;
}

// A line end would smuggle in a second statement.
toml::table table_of_value(const Document& document, std::string_view value) {
  toml::table table;
  if (is_bare_word(value)) {
    table.insert("value", std::string(value));
    return table;
  }
  if (value.find_first_of("\r\n") != std::string_view::npos) document.refuse({}, "the value must be on one line");
  try {
    return toml::parse(fmt::format("value = {}", value));
  } catch (const toml::parse_error& error) {
    document.refuse({}, fmt::format("the value is neither a word nor TOML: {}", reason_of(error)));
  }
}

}  // namespace

std::string Document::place_of(const toml::source_region& region) const {
  return origin == Origin::command_line ? shown : fmt::format("{}:{}", shown, region.begin.line);
}

void Document::refuse(const toml::source_region& region, std::string_view sentence) const {
  if (origin == Origin::command_line) {
    throw Error(ErrorKind::usage, "", 0, 0, fmt::format("{}: {}", shown, sentence));
  }
  throw Error(ErrorKind::profile, path, region.begin.line, region.begin.column, std::string(sentence));
}

Document read_document(const std::filesystem::path& file, std::string shown) {
  Document document{Origin::profile, file.string(), std::move(shown), {}};
  const std::string text = contents_of(file, document.path);
  try {
    document.table = toml::parse(text, document.path);
  } catch (const toml::parse_error& error) {
    document.refuse(error.source(), fmt::format("this is not TOML: {}", reason_of(error)));
  }
  return document;
}

Document document_of_set(std::string_view set) {
  Document document{Origin::command_line, "", fmt::format("--set {}", on_one_line(set)), {}};
  const std::size_t equals = set.find('=');
  const std::vector<std::string_view> path = split_at_dots(set.substr(0, equals));
  const bool named = std::none_of(path.begin(), path.end(), [](std::string_view part) { return part.empty(); });
  if (equals == std::string_view::npos || path.size() < 2 || !named) {
    document.refuse({}, "write TABLE.KEY=VALUE, such as machine.nozzle_diameter_mm=0.4");
  }
  toml::table inner = table_of_value(document, trimmed(set.substr(equals + 1)));
  toml::table outer;
  outer.insert(path.back(), std::move(*inner.get("value")));
  for (auto part = path.rbegin() + 1; part != path.rend(); ++part) {
    toml::table around;
    around.insert(*part, std::move(outer));
    outer = std::move(around);
  }
  document.table = std::move(outer);
  return document;
}

}  // namespace beadwise
