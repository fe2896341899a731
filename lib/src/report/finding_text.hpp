#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "beadwise/report.hpp"

namespace beadwise {

/// Which objects a finding is about, where the plate has several; by their numbers in `beadwise measure --per object`.
/// Empty where it has one, or where nobody knows.
std::string objects_of(const Finding& finding, const std::vector<ObjectFigures>& on_plate);

/// Where a finding lies, a line each: its worst places, how far all of them spread, the objects that they lie on.
std::vector<std::string> where_in_words(const Finding& finding, const std::vector<ObjectFigures>& on_plate);

/// The limit, where it comes from and what was measured; empty where nothing was.
std::string limit_in_words(const Finding& finding);

/// A word in capitals: "WARNING".
std::string in_capitals(std::string_view word);

/// A paragraph beside its label, set in; nothing where there is no text.
std::string labelled(std::string_view label, const std::string& text, const TextStyle& style);

/// One finding in full: its check, what, why, what now, where. `on_plate` are the objects that are worth naming.
std::string finding_in_full(std::size_t number, const Finding& finding, const std::vector<ObjectFigures>& on_plate,
                            const TextStyle& style);

/// One finding in a line or two: its check and what; why it is accepted, where it is.
std::string finding_in_short(std::size_t number, const Finding& finding, const TextStyle& style);

}  // namespace beadwise
