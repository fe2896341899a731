#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "beadwise/error.hpp"
#include "beadwise/profile.hpp"

namespace beadwise {

/// A JSON document that somebody hands in: nothing in it is taken on trust.
struct JsonDocument {
  std::string name;
  ErrorKind kind = ErrorKind::usage;  ///< of the errors that it causes
  nlohmann::json root;
};

/// Reads at most `most_bytes` of JSON. Throws Error of that kind with line and column where it cannot be read.
JsonDocument read_json(std::string_view bytes, std::string_view name, ErrorKind kind, std::size_t most_bytes);

/// A value of a document with the way to it. What it is not, it refuses with an Error that names the way.
class JsonNode {
 public:
  explicit JsonNode(const JsonDocument& document) : JsonNode(document, document.root, "") {}

  bool is_null() const { return value_->is_null(); }
  /// A member of an object, or nothing.
  std::optional<JsonNode> find(std::string_view key) const;
  /// The same, which must be there.
  JsonNode at(std::string_view key) const;
  /// How many items a list has; it may have at most `most`.
  std::size_t items(std::size_t most) const;
  JsonNode item(std::size_t index) const;

  /// A text of at most `most_text_bytes`.
  std::string text() const;
  double number() const;
  /// A whole number, 0 or more.
  std::uint64_t count() const;
  Severity severity() const;

  [[noreturn]] void refuse(std::string_view sentence) const;

  static constexpr std::size_t most_text_bytes = 16'000;

 private:
  JsonNode(const JsonDocument& document, const nlohmann::json& value, std::string path)
      : document_(&document), value_(&value), path_(std::move(path)) {}

  const JsonDocument* document_;
  const nlohmann::json* value_;
  std::string path_;
};

}  // namespace beadwise
