#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "beadwise/job.hpp"

namespace beadwise {

/// One figure as a table knows it.
struct FigureRow {
  std::string_view key;  ///< the column: "filament_fed_mm"
  std::string value;     ///< digits, the same as in JSON; empty where there is none
};

/// Every figure, in a fixed order, whether there is a value or not.
std::vector<FigureRow> figure_rows(const JobFigures& job);
std::vector<FigureRow> figure_rows(const LayerFigures& layer);
std::vector<FigureRow> figure_rows(const ObjectFigures& object);

}  // namespace beadwise
