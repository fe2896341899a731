#pragma once

#include <string>
#include <vector>

#include "beadwise/diagnose.hpp"
#include "report/background_text.hpp"

namespace beadwise {

/// "stringing and blobs".
std::string names_of(const std::vector<Symptom>& symptoms);

/// What was seen, in plain words, and where: "stringing (fine hairs across gaps), in layers 12 to 18, near X 40 Y 22".
std::string seen_in_words(const Seen& seen);

/// The answer in a sentence or two: what explains it, or that nothing in the file does.
std::string answer_in_short(const Diagnosis& diagnosis);

/// How much of the evidence a cause carries, and how it lies to where the fault was seen.
std::string weight_in_words(const Diagnosis& diagnosis, const Cause& cause);

/// What else a check found, a line each.
std::vector<std::string> further_findings(const Cause& cause);

/// "low-travel: Travels pass … (and 3 more findings)".
std::string in_words(const FoundElsewhere& elsewhere);

/// What the checks that did not judge need, a line for each reason.
std::vector<std::string> not_judged_in_words(const Diagnosis& diagnosis);

/// What is pulled both ways: "Over the nozzle's temperature: excess-flow says …; against it open-travel says …".
std::string in_words(const Pull& pull);

/// The guesses that the answer rests on; neighbours with one reason stand together.
std::vector<AssumedForReason> guesses_by_reason(const Diagnosis& diagnosis);

}  // namespace beadwise
