#include "model/travel_log.hpp"

#include <doctest/doctest.h>

#include <string>

#include "support/followed.hpp"
#include "support/near.hpp"

using namespace beadwise;
using namespace beadwise::tests;

namespace {

/// The travels of one layer of a job, gathered from batches of the given size.
std::vector<Travel> travels_of(const std::string& gcode, std::uint32_t layer, std::size_t batch_moves = 1000) {
  const Followed followed = follow("M83\nG1 F6000\n" + gcode);
  const MoveBatch& all = followed.batch;
  TravelLog log;
  for (std::size_t first = 0; first < all.moves.size(); first += batch_moves) {
    const std::size_t last = std::min(first + batch_moves, all.moves.size());
    MoveBatch batch;
    batch.settings = all.settings;
    batch.arcs = all.arcs;
    batch.moves.assign(all.moves.begin() + static_cast<std::ptrdiff_t>(first),
                       all.moves.begin() + static_cast<std::ptrdiff_t>(last));
    for (Event event : all.events) {
      const bool at_end = last == all.moves.size() && event.before >= last;
      if (event.before < first || (event.before >= last && !at_end)) continue;
      event.before -= static_cast<std::uint32_t>(first);
      batch.events.push_back(event);
    }
    log.on_moves(batch);
  }
  return log.take(layer);
}

// A first bead along X from 10 to 20 mm, 0.2 mm high.
const std::string first_bead = "G1 X10 Y10 Z0.2\nG1 X20 E0.4\n";

}  // namespace

TEST_CASE("a way in the plane after the first bead is a travel of that bead's layer") {
  const std::vector<Travel> travels = travels_of(first_bead + "G1 X30 Y10\nG1 X30 Y20\nG1 X40 E0.4\n", 1);
  REQUIRE(travels.size() == 2);
  CHECK(near(travels[0].from_mm.x, 20, 1e-9));
  CHECK(near(travels[0].to_mm.x, 30, 1e-9));
  CHECK(near(travels[1].to_mm.y, 20, 1e-9));
  CHECK(travels[0].line == 5);
  CHECK(travels[0].beads_before == 1);
  CHECK(travels[1].beads_before == 1);
  CHECK(travels[0].owed_mm == 0);
  CHECK(!travels[0].pulled_by_machine);
}

TEST_CASE("the way to the first bead, lifts alone and feeds alone are no travels") {
  CHECK(travels_of(first_bead, 1).empty());
  CHECK(travels_of("G1 X10 Y10\n", 0).empty());
  CHECK(travels_of(first_bead + "G1 Z0.6\nG1 E-1\nG1 E1\nG1 Z0.2\nG1 X30 E0.4\n", 1).empty());
}

TEST_CASE("a lift shows in the heights of the travel") {
  const std::vector<Travel> travels = travels_of(first_bead + "G1 Z0.6\nG1 X30\nG1 X34 Z0.2\n", 1);
  REQUIRE(travels.size() == 2);
  CHECK(near(travels[0].from_mm.z, 0.6, 1e-9));
  CHECK(near(travels[0].to_mm.z, 0.6, 1e-9));
  CHECK(near(travels[1].to_mm.z, 0.2, 1e-9));
}

TEST_CASE("owed is what is pulled back while the travel runs") {
  const std::vector<Travel> travels =
      travels_of(first_bead + "G1 E-0.8\nG1 X30\nG1 E0.3\nG1 X40\nG1 E0.5\nG1 X50\n", 1);
  REQUIRE(travels.size() == 3);
  CHECK(near(travels[0].owed_mm, 0.8, 1e-9));
  CHECK(near(travels[1].owed_mm, 0.5, 1e-9));
  CHECK(near(travels[2].owed_mm, 0, 1e-9));
}

TEST_CASE("E pulled back along a travel counts from its end on") {
  const std::vector<Travel> travels = travels_of(first_bead + "G1 X18 E-0.6\nG1 X16 E-0.2\nG1 X40\n", 1);
  REQUIRE(travels.size() == 3);
  CHECK(near(travels[0].filament_mm, -0.6, 1e-9));
  CHECK(near(travels[0].owed_mm, 0, 1e-9));
  CHECK(near(travels[1].owed_mm, 0.6, 1e-9));
  CHECK(near(travels[2].owed_mm, 0.8, 1e-9));
  CHECK(travels[0].retractions_before == 1);
  CHECK(travels[2].retractions_before == 1);
}

TEST_CASE("what another tool owes is not owed by the tool in use") {
  const std::vector<Travel> travels =
      travels_of(first_bead + "G1 E-5\nT1\nG1 X30\nG1 X40 E0.4\nG1 E-0.8\nT0\nG1 X60\n", 1);
  REQUIRE(travels.size() == 2);
  CHECK(near(travels[0].owed_mm, 0, 1e-9));
  CHECK(near(travels[1].owed_mm, 5, 1e-9));
}

TEST_CASE("what the first tool owes still holds when it comes back and moves at once") {
  const std::vector<Travel> travels = travels_of(first_bead + "G1 E-5\nT1\nT0\nG1 X60\n", 1);
  REQUIRE(travels.size() == 1);
  CHECK(near(travels[0].owed_mm, 5, 1e-9));
}

TEST_CASE("a retraction by the machine holds until its prime, for its tool") {
  const std::vector<Travel> travels = travels_of(first_bead + "G10\nG1 X30\nT1\nG1 X35\nT0\nG1 X40\nG11\nG1 X50\n", 1);
  REQUIRE(travels.size() == 4);
  CHECK(travels[0].pulled_by_machine);
  CHECK(!travels[1].pulled_by_machine);
  CHECK(travels[2].pulled_by_machine);
  CHECK(!travels[3].pulled_by_machine);
  CHECK(travels[0].owed_mm == 0);
}

TEST_CASE("retractions are counted as in the figures: once until filament is fed forward again") {
  const auto last_count = [](const std::string& gcode) {
    const std::vector<Travel> travels = travels_of(first_bead + gcode + "G1 X90 Y90\n", 1);
    return travels.empty() ? 0U : travels.back().retractions_before;
  };
  CHECK(last_count("") == 0);
  CHECK(last_count("G1 E-0.4\nG1 E-0.4\n") == 1);
  CHECK(last_count("G1 E-0.4\nG1 E0.4\nG1 E-0.4\n") == 2);
  CHECK(last_count("G10\n") == 1);
  CHECK(last_count("G10\nG11\nG10\n") == 2);
  // Pulled back already: the machine's retraction adds none, and its prime ends the run.
  CHECK(last_count("G1 E-0.4\nG10\n") == 1);
  CHECK(last_count("G10\nG1 E-0.4\n") == 1);
  CHECK(last_count("G10\nG11\nG1 E-0.4\n") == 2);
  // Each tool has its own.
  CHECK(last_count("G1 E-0.4\nT1\nG1 E-0.4\nT0\nG1 E-0.4\n") == 2);
}

TEST_CASE("an arc without E becomes chords that share its time and its filament") {
  const std::vector<Travel> travels = travels_of(first_bead + "G2 X30 Y20 I10 J0 E-0.6\n", 1);
  // From (20, 10) around (30, 10) clockwise to (30, 20): a quarter of a turn, 10 mm of radius.
  REQUIRE(travels.size() == 6);
  double length_mm = 0;
  double duration_s = 0;
  double filament_mm = 0;
  for (std::size_t i = 0; i < travels.size(); ++i) {
    const Travel& travel = travels[i];
    length_mm += std::hypot(travel.to_mm.x - travel.from_mm.x, travel.to_mm.y - travel.from_mm.y);
    duration_s += static_cast<double>(travel.duration_s);
    filament_mm += travel.filament_mm;
    CHECK(near(std::hypot(travel.to_mm.x - 30, travel.to_mm.y - 10), 10, 1e-6));
    if (i == 0) continue;
    CHECK(near(travel.from_mm.x, travels[i - 1].to_mm.x, 1e-9));
    CHECK(travel.start_s > travels[i - 1].start_s);
  }
  CHECK(near(travels.back().to_mm.x, 30, 1e-6));
  CHECK(near(travels.back().to_mm.y, 20, 1e-6));
  // π/2 × 10 mm, less what chords of 15° cut off: 1 − (7.5°)²/6 in radians.
  CHECK(near(length_mm, 15.708 * (1 - 0.01713 / 6), 0.005));
  CHECK(near(filament_mm, -0.6, 1e-9));
  CHECK(duration_s > 0);
}

TEST_CASE("a full turn without E comes back to where it began") {
  const std::vector<Travel> travels = travels_of(first_bead + "G3 I-5 J0\n", 1);
  REQUIRE(travels.size() == 24);
  CHECK(near(travels[11].to_mm.x, 10, 1e-6));
  CHECK(near(travels.back().to_mm.x, 20, 1e-6));
}

TEST_CASE("the way from one layer to the next belongs to the lower one; beads count anew in each") {
  const std::string job = first_bead + "G1 X30\nG1 X40 E0.4\nG1 Z0.4\nG1 X30\nG1 X20 E0.4\nG1 X10\nG1 X0 E0.4\nG1 X5\n";
  const std::vector<Travel> first = travels_of(job, 1);
  REQUIRE(first.size() == 2);
  CHECK(first[0].beads_before == 1);
  CHECK(first[1].beads_before == 2);
  CHECK(near(first[1].to_mm.z, 0.4, 1e-9));
  const std::vector<Travel> second = travels_of(job, 2);
  REQUIRE(second.size() == 2);
  CHECK(second[0].beads_before == 1);
  CHECK(second[1].beads_before == 2);
}

TEST_CASE("where batches are cut changes nothing") {
  const std::string job = first_bead +
                          "G1 E-0.8\nG1 X30\nG10\nG1 X35\nG11\nG1 E0.8\nG1 X40 E0.4\nT1\nG1 X50\nG2 X60 Y20 I10 J0\n"
                          "T0\nG1 X70\nG1 X80 E0.4\nG1 X90 E-0.5\nG1 X95\n";
  const std::vector<Travel> whole = travels_of(job, 1);
  REQUIRE(whole.size() > 8);
  for (const std::size_t size : {1U, 2U, 3U, 5U}) {
    const std::vector<Travel> cut = travels_of(job, 1, size);
    REQUIRE(cut.size() == whole.size());
    for (std::size_t i = 0; i < cut.size(); ++i) {
      CHECK(cut[i].owed_mm == whole[i].owed_mm);
      CHECK(cut[i].pulled_by_machine == whole[i].pulled_by_machine);
      CHECK(cut[i].beads_before == whole[i].beads_before);
      CHECK(cut[i].retractions_before == whole[i].retractions_before);
      CHECK(cut[i].line == whole[i].line);
    }
  }
}

TEST_CASE("layers are taken in order, and earlier ones are forgotten") {
  const Followed followed =
      follow("M83\nG1 F6000\n" + first_bead + "G1 X30\nG1 X40 E0.4\nG1 X45\nG1 Z0.4\nG1 X20 E0.4\nG1 X5\n");
  TravelLog log;
  log.on_moves(followed.batch);
  CHECK(log.take(2).size() == 1);
  CHECK(log.take(1).empty());
}
