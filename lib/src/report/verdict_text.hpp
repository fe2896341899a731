#pragma once

#include <string>

#include "beadwise/report.hpp"

namespace beadwise {

/// What is to be done with a file, in one sentence.
std::string verdict_sentence(const FileReport& report);

/// What a job is, in one sentence: layers, time, filament, size.
std::string job_sentence(const JobFigures& job);

}  // namespace beadwise
