#include "profile/statements.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "profile/builtin.hpp"
#include "profile/keys.hpp"
#include "profile/nearest.hpp"
#include "profile/typed_values.hpp"

namespace beadwise {

namespace {

using Names = std::vector<std::string_view>;

template <class Items>
Names names_of(const Items& items) {
  Names names;
  for (const auto& item : items) names.push_back(item.name);
  return names;
}

// The table is sorted by key; a person reads from the top, so the first mistake in the file is the one to report.
std::vector<std::pair<const toml::key*, const toml::node*>> in_file_order(const toml::table& table) {
  std::vector<std::pair<const toml::key*, const toml::node*>> entries;
  for (auto&& [key, value] : table) entries.emplace_back(&key, &value);
  std::stable_sort(entries.begin(), entries.end(), [](const auto& a, const auto& b) {
    const toml::source_position left = a.first->source().begin, right = b.first->source().begin;
    return std::pair(left.line, left.column) < std::pair(right.line, right.column);
  });
  return entries;
}

[[noreturn]] void refuse_key(const Document& document, const toml::key& key, std::string_view table,
                             const Names& known) {
  document.refuse(key.source(),
                  fmt::format("unknown key `{}` in [{}]{}", key.str(), table, instead_of(key.str(), known)));
}

std::string material_name(const Statement& statement) {
  const std::string name = words(statement);
  const Names known = names_of(built_in_materials());
  if (std::find(known.begin(), known.end(), name) == known.end()) {
    statement.document.refuse(statement.value.source(),
                              fmt::format("unknown material `{}`{}", name, instead_of(name, known)));
  }
  return name;
}

// "auto" takes back what an extended profile says, as if nobody had stated anything.
template <class Word, std::size_t N>
Word one_of(const Statement& statement, const std::array<Word, N>& allowed) {
  const std::string word = words(statement);
  const auto found = std::find_if(allowed.begin(), allowed.end(), [&](Word w) { return to_string(w) == word; });
  if (found != allowed.end()) return *found;
  Names known;
  for (const Word w : allowed) known.push_back(to_string(w));
  statement.refuse(fmt::format("cannot be `{}`{}", word, instead_of(word, known)));
}

template <class T>
void state(Setting<T>& setting, const Statement& statement, T value) {
  setting = {std::move(value), statement.document.origin, statement.because()};
}

/// Takes one value over, by the type of its key's member.
template <class Table>
struct Taker {
  const Key<Table>& key;
  const Statement& statement;
  Table& into;

  void operator()(Setting<double> Table::*member) const {
    state(into.*member, statement, number(statement, key.unit, key.bounds));
  }
  void operator()(Setting<Range> Table::*member) const {
    state(into.*member, statement, range(statement, key.unit, key.bounds));
  }
  void operator()(Setting<bool> Table::*member) const { state(into.*member, statement, yes_or_no(statement)); }
  void operator()(Setting<std::string> Table::*member) const {
    state(into.*member, statement, material_name(statement));
  }
  void operator()(Setting<EUnit> Table::*member) const {
    const EUnit unit = one_of(statement, std::array{EUnit::automatic, EUnit::mm, EUnit::mm3});
    state(into.*member, statement, unit);
    if constexpr (std::is_same_v<Table, MachineProfile>) {
      if (unit == EUnit::automatic) into.*member = builtin::machine().*member;
    }
  }
  void operator()(Setting<Drive> Table::*member) const {
    const Drive drive = one_of(statement, std::array{Drive::automatic, Drive::direct, Drive::bowden});
    state(into.*member, statement, drive);
    if constexpr (std::is_same_v<Table, MachineProfile>) {
      if (drive == Drive::automatic) into.*member = builtin::machine().*member;
    }
  }
};

template <class Table>
void take_table(const Document& document, const toml::table& stated, std::string_view name,
                std::span<const Key<Table>> keys, Table& into) {
  for (const auto& [key, value] : in_file_order(stated)) {
    const auto known =
        std::find_if(keys.begin(), keys.end(), [&, k = key](const auto& one) { return one.name == k->str(); });
    if (known == keys.end()) refuse_key(document, *key, name, names_of(keys));
    const Statement statement{document, std::string(name), *key, *value};
    std::visit(Taker<Table>{*known, statement, into}, known->member);
  }
}

Severity severity_of(const Statement& statement, const KnownCheck& check) {
  const std::string word = words(statement);
  Names allowed;
  for (const Severity severity : check.severities) {
    if (to_string(severity) == word) return severity;
    allowed.push_back(to_string(severity));
  }
  statement.refuse(fmt::format("cannot be `{}`: this check gives {}", word, fmt::join(allowed, ", ")));
}

void take_check(const Document& document, const toml::table& stated, const KnownCheck& check, CheckProfile& into) {
  const std::string table = fmt::format("checks.{}", check.name);
  Names known{"off", "severity"};
  known.insert(known.end(), check.limits.begin(), check.limits.end());
  for (const auto& [key, value] : in_file_order(stated)) {
    const Statement statement{document, table, *key, *value};
    if (std::find(known.begin(), known.end(), key->str()) == known.end()) refuse_key(document, *key, table, known);
    if (key->str() == "off") {
      into.off = yes_or_no(statement);
    } else if (key->str() == "severity") {
      into.severity = severity_of(statement, check);
    } else {
      state(into.limits[std::string(key->str())], statement, number(statement, ""));
      continue;
    }
    into.stated_at = document.place_of(key->source());
    into.from = document.origin;
  }
  if (into.stated_at.empty()) into.stated_at = document.place_of(stated.source());
}

const KnownCheck& known_check(const Document& document, const toml::source_region& region, std::string_view name,
                              std::span<const KnownCheck> checks) {
  const auto known = std::find_if(checks.begin(), checks.end(), [&](const auto& check) { return check.name == name; });
  if (known != checks.end()) return *known;
  document.refuse(region, fmt::format("unknown check `{}`{}", name, instead_of(name, names_of(checks))));
}

void take_checks(const Document& document, const toml::table& stated, std::span<const KnownCheck> checks,
                 Profile& profile) {
  for (const auto& [key, value] : in_file_order(stated)) {
    const KnownCheck& check = known_check(document, key->source(), key->str(), checks);
    const toml::table& inner = table(document, *value, fmt::format("[checks.{}]", check.name));
    take_check(document, inner, check, profile.checks[std::string(check.name)]);
  }
}

Accepted accepted(const Document& document, const toml::table& stated, std::span<const KnownCheck> checks) {
  Accepted one;
  one.stated_at = document.place_of(stated.source());
  for (const auto& [key, value] : in_file_order(stated)) {
    const Statement statement{document, "[accept]", *key, *value};
    if (key->str() == "check") {
      one.check = known_check(document, value->source(), words(statement), checks).name;
    } else if (key->str() == "where") {
      one.where = words(statement);
    } else if (key->str() == "because") {
      one.because = words(statement);
    } else {
      refuse_key(document, *key, "[accept]", {"check", "where", "because"});
    }
  }
  if (one.check.empty()) document.refuse(stated.source(), "[[accept]] needs `check`: the name of the check");
  if (one.where.empty()) document.refuse(stated.source(), "[[accept]] needs `where`: the finding that is accepted");
  if (one.because.empty()) document.refuse(stated.source(), "[[accept]] needs `because`: why the finding is accepted");
  return one;
}

void take_accepted(const Document& document, const toml::node& stated, std::span<const KnownCheck> checks,
                   Profile& profile) {
  const auto* list = stated.as_array();
  if (list == nullptr) document.refuse(stated.source(), "`accept` must be a list of tables, written [[accept]]");
  profile.accepted.clear();
  for (const toml::node& one : *list) {
    profile.accepted.push_back(accepted(document, table(document, one, "each [[accept]]"), checks));
  }
}

[[noreturn]] void refuse_at_top(const Document& document, const toml::key& key, const toml::node& value) {
  if (document.origin == Origin::command_line) {
    document.refuse({}, fmt::format("a --set changes a key of machine, filament or checks, not of `{}`", key.str()));
  }
  const auto is_it = [&](const auto& one) { return one.name == key.str(); };
  const auto machine = machine_keys();
  const auto filament = filament_keys();
  for (const auto& [table, inside] : {std::pair("machine", std::any_of(machine.begin(), machine.end(), is_it)),
                                      std::pair("filament", std::any_of(filament.begin(), filament.end(), is_it))}) {
    if (inside) document.refuse(key.source(), fmt::format("`{}` belongs in the table [{}]", key.str(), table));
  }
  const Names known{"machine", "filament", "checks", "accept", "extends", "schema_version"};
  document.refuse(key.source(), fmt::format("unknown {} `{}`{}", value.is_table() ? "table" : "key", key.str(),
                                            instead_of(key.str(), known)));
}

void check_version(const Document& document, const toml::node& stated) {
  const auto* version = stated.as_integer();
  if (version == nullptr || version->get() != 1) {
    document.refuse(stated.source(), "`schema_version` must be 1, the only one there is");
  }
}

}  // namespace

void take_statements(const Document& document, std::span<const KnownCheck> checks, Profile& profile) {
  const bool from_file = document.origin == Origin::profile;
  for (const auto& [key, value] : in_file_order(document.table)) {
    const std::string_view name = key->str();
    if (name == "machine") {
      take_table(document, table(document, *value, "[machine]"), name, machine_keys(), profile.machine);
    } else if (name == "filament") {
      take_table(document, table(document, *value, "[filament]"), name, filament_keys(), profile.filament);
    } else if (name == "checks") {
      take_checks(document, table(document, *value, "[checks]"), checks, profile);
    } else if (name == "accept" && from_file) {
      take_accepted(document, *value, checks, profile);
    } else if (name == "schema_version" && from_file) {
      check_version(document, *value);
    } else if (name != "extends" || !from_file) {
      refuse_at_top(document, *key, *value);
    }
  }
}

}  // namespace beadwise
