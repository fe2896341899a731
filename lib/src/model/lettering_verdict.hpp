#pragma once

#include <optional>

#include "model/lettering_row.hpp"

namespace beadwise {

/// A line of lettering has at least so many letters that bend or branch, and they differ.
inline constexpr std::size_t least_figures = 2;

/// Why a row is no lettering.
enum class NoLettering {
  few,
  copies,
  uneven,   ///< they do not stand as letters do
  doubtful  ///< too few for as much as there is around; may be lettering once that is known to be
};

/// Whether a row is a line of lettering; the reason where it is none.
std::optional<NoLettering> why_not(const GlyphField& field, const GlyphRow& row);

/// The pieces of a row that stack over each other, as one each, in order along the line.
std::vector<std::vector<Stand>> stacked_glyphs(const std::vector<Stand>& stands);

}  // namespace beadwise
