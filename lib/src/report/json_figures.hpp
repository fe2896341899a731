#pragma once

#include "beadwise/job.hpp"
#include "report/json_value.hpp"

namespace beadwise {

/// The figures of a job, a layer or an object under the names that do not change.
Json to_json(const JobFigures& job);
Json to_json(const LayerFigures& layer);
Json to_json(const ObjectFigures& object);

}  // namespace beadwise
