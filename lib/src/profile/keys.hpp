#pragma once

#include <span>
#include <string_view>
#include <variant>

#include "beadwise/profile.hpp"

namespace beadwise {

/// What a number, or either end of a range, may be. Wide on purpose: it catches a wrong unit, not a rare machine.
struct Bounds {
  double lowest = 0;
  double highest = 0;
  bool lowest_allowed = true;
  bool whole = false;
};

template <class Table>
using Member = std::variant<Setting<double> Table::*, Setting<bool> Table::*, Setting<Range> Table::*,
                            Setting<EUnit> Table::*, Setting<Drive> Table::*, Setting<std::string> Table::*>;

/// One key of a profile. Loading, describing and the schema all go by this table. The only string is a material's name.
template <class Table>
struct Key {
  std::string_view name;
  Member<Table> member;
  std::string_view unit;  ///< empty for words and yes-or-no
  std::string_view meaning;
  Bounds bounds = {};
};

/// In the order of docs/profiles.md.
std::span<const Key<MachineProfile>> machine_keys();
std::span<const Key<FilamentProfile>> filament_keys();

}  // namespace beadwise
