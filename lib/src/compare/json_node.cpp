#include "compare/json_node.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace beadwise {

namespace {

// Reports are five deep; what is deeper is none.
constexpr int most_depth = 32;

struct Position {
  std::uint64_t line = 1;
  std::uint64_t column = 1;
};

/// Where the byte of that number, from 1, stands.
Position position_of(std::string_view bytes, std::size_t number) {
  const std::string_view before = bytes.substr(0, number > 0 ? number - 1 : 0);
  Position position;
  position.line += static_cast<std::uint64_t>(std::count(before.begin(), before.end(), '\n'));
  position.column += before.size() - (before.rfind('\n') + 1);
  return position;
}

}  // namespace

JsonDocument read_json(std::string_view bytes, std::string_view name, ErrorKind kind, std::size_t most_bytes) {
  JsonDocument document{.name = std::string(name), .kind = kind, .root = {}};
  if (bytes.size() > most_bytes)
    throw Error(kind, document.name, 0, 0,
                fmt::format("is too large: more than {} MB; is it the right file?", most_bytes / 1'000'000));
  const auto not_too_deep = [&](int depth, nlohmann::json::parse_event_t, const nlohmann::json&) {
    if (depth > most_depth)
      throw Error(kind, document.name, 0, 0, fmt::format("is nested more than {} deep: damaged?", most_depth));
    return true;
  };
  try {
    document.root = nlohmann::json::parse(bytes, not_too_deep);
  } catch (const nlohmann::json::parse_error& error) {
    const Position at = position_of(bytes, std::min(error.byte, bytes.size() + 1));
    throw Error(kind, document.name, at.line, at.column, "is no JSON from here on: damaged, or another kind of file.");
  } catch (const nlohmann::json::exception&) {
    throw Error(kind, document.name, 0, 0, "has a number that is too large to be read.");
  }
  return document;
}

std::optional<JsonNode> JsonNode::find(std::string_view key) const {
  if (!value_->is_object()) refuse("must be an object");
  const auto member = value_->find(key);
  if (member == value_->end()) return std::nullopt;
  return JsonNode(*document_, *member, path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key));
}

JsonNode JsonNode::at(std::string_view key) const {
  std::optional<JsonNode> member = find(key);
  if (!member) refuse(fmt::format("lacks `{}`", key));
  return *member;
}

std::size_t JsonNode::items(std::size_t most) const {
  if (!value_->is_array()) refuse("must be a list");
  if (value_->size() > most) refuse(fmt::format("has more than {} items", most));
  return value_->size();
}

JsonNode JsonNode::item(std::size_t index) const {
  return {*document_, value_->at(index), fmt::format("{}[{}]", path_, index)};
}

std::string JsonNode::text() const {
  if (!value_->is_string()) refuse("must be a text");
  const std::string& text = value_->get_ref<const std::string&>();
  if (text.size() > most_text_bytes) refuse(fmt::format("is longer than {} bytes", most_text_bytes));
  return text;
}

double JsonNode::number() const {
  if (!value_->is_number()) refuse("must be a number");
  return value_->get<double>();
}

std::uint64_t JsonNode::count() const {
  if (!value_->is_number_unsigned()) refuse("must be a whole number, 0 or more");
  return value_->get<std::uint64_t>();
}

Severity JsonNode::severity() const {
  const std::string name = text();
  for (const Severity severity : {Severity::note, Severity::warning, Severity::error})
    if (to_string(severity) == name) return severity;
  refuse("must be \"error\", \"warning\" or \"note\"");
}

void JsonNode::refuse(std::string_view sentence) const {
  throw Error(document_->kind, document_->name, 0, 0,
              fmt::format("`{}` {}.", path_.empty() ? "the whole" : path_, sentence));
}

}  // namespace beadwise
