#include "profile/typed_values.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>

namespace beadwise {

namespace {

std::string_view kind_of(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::string:
      return "a string";
    case toml::node_type::integer:
      return "a whole number";
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    default:
      return "a date or time";
  }
}

std::optional<double> plain_number(const toml::node& node) {
  if (const auto* whole = node.as_integer()) return static_cast<double>(whole->get());
  if (const auto* fraction = node.as_floating_point()) return fraction->get();
  return std::nullopt;
}

std::string with_unit(std::string_view unit) { return unit.empty() ? "" : fmt::format(" {}", unit); }

std::string in_brackets(std::string_view unit) { return unit.empty() ? "" : fmt::format(" ({})", unit); }

// The value alone or an end of a range, whose place in the file is its own.
double within(const Statement& statement, const toml::node& node, std::string_view unit, const Bounds& bounds) {
  const auto refuse = [&](std::string_view sentence) {
    statement.document.refuse(node.source(), fmt::format("{} {}", statement.name(), sentence));
  };
  const std::optional<double> value = plain_number(node);
  if (!value) refuse(fmt::format("must be a number{}, not {}", in_brackets(unit), kind_of(node)));
  if (!std::isfinite(*value)) refuse(fmt::format("must be a finite number{}, not {}", in_brackets(unit), *value));
  if (*value < bounds.lowest || (*value == bounds.lowest && !bounds.lowest_allowed)) {
    refuse(fmt::format("must be {} {}{}, not {}", bounds.lowest_allowed ? "at least" : "more than", bounds.lowest,
                       with_unit(unit), *value));
  }
  if (*value > bounds.highest) {
    refuse(
        fmt::format("must be at most {}{}, not {}: is it in another unit?", bounds.highest, with_unit(unit), *value));
  }
  if (bounds.whole && *value != std::floor(*value)) refuse(fmt::format("must be a whole number, not {}", *value));
  return *value;
}

}  // namespace

std::string Statement::name() const { return fmt::format("`{}` in [{}]", key.str(), table); }

std::string Statement::because() const {
  return fmt::format("{} {}", document.origin == Origin::command_line ? "stated by" : "stated at",
                     document.place_of(key.source()));
}

void Statement::refuse(std::string_view sentence) const {
  document.refuse(value.source(), fmt::format("{} {}", name(), sentence));
}

double number(const Statement& statement, std::string_view unit) {
  return within(statement, statement.value, unit, Bounds{-HUGE_VAL, HUGE_VAL});
}

double number(const Statement& statement, std::string_view unit, const Bounds& bounds) {
  return within(statement, statement.value, unit, bounds);
}

Range range(const Statement& statement, std::string_view unit, const Bounds& bounds) {
  const auto* list = statement.value.as_array();
  if (list == nullptr || list->size() != 2) {
    statement.refuse(fmt::format(
        "must be a list [lowest, highest]{}, not {}", in_brackets(unit),
        list == nullptr ? std::string(kind_of(statement.value)) : fmt::format("a list of {}", list->size())));
  }
  const Range ends{within(statement, (*list)[0], unit, bounds), within(statement, (*list)[1], unit, bounds)};
  if (ends.low > ends.high) {
    statement.refuse(fmt::format("must begin with the lower end, but {} is more than {}", ends.low, ends.high));
  }
  return ends;
}

bool yes_or_no(const Statement& statement) {
  if (const auto* flag = statement.value.as_boolean()) return flag->get();
  statement.refuse(fmt::format("must be true or false, not {}", kind_of(statement.value)));
}

std::string words(const Statement& statement) {
  const auto* text = statement.value.as_string();
  if (text == nullptr) statement.refuse(fmt::format("must be a string, not {}", kind_of(statement.value)));
  if (text->get().find_first_not_of(" \t\r\n") == std::string::npos) statement.refuse("must not be empty");
  return text->get();
}

const toml::table& table(const Document& document, const toml::node& node, std::string_view name) {
  if (const auto* inner = node.as_table()) return *inner;
  document.refuse(node.source(), fmt::format("{} must be a table, not {}", name, kind_of(node)));
}

}  // namespace beadwise
