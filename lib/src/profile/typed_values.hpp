#pragma once

#include <string>
#include <string_view>

#include "profile/document.hpp"
#include "profile/keys.hpp"

namespace beadwise {

/// One statement `key = value` of a document, for reading its value with the right type.
struct Statement {
  const Document& document;
  std::string table;  ///< "machine"
  const toml::key& key;
  const toml::node& value;

  /// "`nozzle_diameter_mm` in [machine]".
  std::string name() const;
  /// "stated at farm.toml:12".
  std::string because() const;
  /// Refuses the value.
  [[noreturn]] void refuse(std::string_view sentence) const;
};

/// A finite number; `unit` only words the refusal. Whole numbers are numbers.
double number(const Statement& statement, std::string_view unit);
/// A number within its bounds.
double number(const Statement& statement, std::string_view unit, const Bounds& bounds);
/// `[lowest, highest]`, each within its bounds.
Range range(const Statement& statement, std::string_view unit, const Bounds& bounds);
bool yes_or_no(const Statement& statement);
/// A string that is not empty.
std::string words(const Statement& statement);
/// A list's or table's element that must be a table.
const toml::table& table(const Document& document, const toml::node& node, std::string_view name);

}  // namespace beadwise
