#include "report/cautions.hpp"

#include <doctest/doctest.h>

using namespace beadwise;

namespace {

Finding advising(std::string remedy) {
  Finding finding;
  finding.remedy = std::move(remedy);
  return finding;
}

bool warns_of(const Finding& finding, std::string_view word) {
  for (const std::string_view caution : cautions_for(finding))
    if (caution.find(word) != std::string_view::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("whoever is told to print hotter is told of fumes and limits") {
  CHECK(warns_of(advising("Or set the nozzle to 231 °C instead of 215 at this speed."), "fumes"));
  CHECK(warns_of(advising("Print these layers slower or hotter."), "fumes"));
  CHECK(!warns_of(advising("Set this nozzle to 240 °C or less."), "more heat"));
}

TEST_CASE("whoever may have to take a nozzle apart is told that it burns") {
  Finding clogged = advising("Pull back less often.");
  clogged.symptoms = {Symptom::clogging};
  CHECK(warns_of(clogged, "burn"));
}

TEST_CASE("a heater that stays on is a risk of fire") {
  Finding left_on = advising("Add `M140 S0` after line 9801.");
  left_on.what = "The job ends with the bed still on; the last bead is at line 9801.";
  CHECK(warns_of(left_on, "fire"));
}

TEST_CASE("advice that touches nothing hot carries no caution") {
  CHECK(cautions_for(advising("Lay the lines 0.45 mm apart.")).empty());
}
