#include "model/filament_line.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <random>

using namespace beadwise;

namespace {

/// A history of filament moves of one job, cut into batches at will.
struct History {
  MoveBatch batch;

  History() {
    batch.settings.resize(4);
    for (std::uint8_t tool = 0; tool < 4; ++tool) batch.settings[tool].tool = tool;
  }

  History& feed(double filament_mm, std::uint8_t tool = 0) {
    Move move;
    move.filament_mm = filament_mm;
    move.settings = tool;
    move.line = batch.moves.size() + 1;
    move.layer = 1;
    batch.moves.push_back(move);
    return *this;
  }

  History& event(EventKind kind, double value, std::uint8_t tool = 0) {
    Event event;
    event.kind = kind;
    event.value = value;
    event.tool = tool;
    event.before = static_cast<std::uint32_t>(batch.moves.size());
    batch.events.push_back(event);
    return *this;
  }

  std::uint64_t passes() const {
    FilamentLine line;
    line.on_moves(batch);
    return line.max_gear_passes();
  }
};

/// 1 + 2 × the most retractions over one tick, by counting every tick of every retraction.
std::uint64_t passes_by_counting(const std::vector<double>& filament_mm) {
  std::map<std::int64_t, int> changes;
  double position = 0;
  double start = 0;
  bool pulling = false;
  const auto tick = [](double mm) { return std::llround(mm * 1e6); };
  const auto close = [&] {
    if (!pulling) return;
    ++changes[tick(position)];
    --changes[tick(start)];
    pulling = false;
  };
  for (const double filament : filament_mm) {
    if (filament > 0) close();
    if (filament < 0 && !pulling) {
      start = position;
      pulling = true;
    }
    position += filament;
  }
  close();
  int count = 0;
  int most = 0;
  for (const auto& [at, change] : changes) most = std::max(most, count += change);
  return 1 + 2 * static_cast<std::uint64_t>(most);
}

}  // namespace

TEST_CASE("filament that is only fed passes the gear once") {
  CHECK(History().passes() == 1);
  CHECK(History().feed(100).feed(0).feed(20).passes() == 1);
}

TEST_CASE("length 1 with a net advance of 0.2 makes 11 passes") {
  // 1 + 2 × ceil(1 / 0.2) = 11
  History history;
  history.feed(5);
  for (int i = 0; i < 40; ++i) history.feed(-1).feed(1.2);
  CHECK(history.passes() == 11);
}

TEST_CASE("stretches are half-open: retractions that only meet do not add up") {
  CHECK(History().feed(-1).feed(2).feed(-1).feed(1).passes() == 3);
  // 1 µm of overlap, a thousand ticks
  CHECK(History().feed(-1).feed(1.999).feed(-1).feed(1).passes() == 5);
}

TEST_CASE("a retraction counts two passes from the moment it is made, without a prime after it") {
  CHECK(History().feed(10).feed(-2).passes() == 3);
}

TEST_CASE("one retraction over many lines, travels and tiny steps counts once") {
  History history;
  history.feed(10);
  for (int i = 0; i < 50; ++i) history.feed(-0.04).feed(0);
  CHECK(history.passes() == 3);
}

TEST_CASE("a prime that gives back only a part begins a new retraction") {
  // [8, 10) pulled, 1 given back, [7, 9) pulled: 8 to 9 twice
  CHECK(History().feed(10).feed(-2).feed(1).feed(-2).feed(3).passes() == 5);
}

TEST_CASE("filament loaded before the job can be pulled back") {
  CHECK(History().feed(-4).feed(4).feed(-4).feed(4).passes() == 5);
}

TEST_CASE("each tool has its own filament, also in the middle of a retraction") {
  History history;
  history.feed(10, 0).feed(-1, 0).feed(10, 1).feed(-1, 1).feed(1, 1);
  CHECK(history.passes() == 3);
  // Tool 0 goes on pulling: still the same retraction.
  CHECK(history.feed(-1, 0).feed(2, 0).passes() == 3);
  CHECK(history.feed(-1, 0).passes() == 5);
}

TEST_CASE("a firmware retraction pulls back and moves no filament on") {
  History history;
  history.feed(10).event(EventKind::firmware_retraction, 1.5).feed(0).event(EventKind::firmware_prime, 1.5);
  CHECK(history.passes() == 3);
  history.feed(1).event(EventKind::firmware_retraction, 1.5).event(EventKind::firmware_prime, 1.5);
  CHECK(history.passes() == 5);
  CHECK(History().event(EventKind::firmware_retraction, 0).passes() == 1);
}

TEST_CASE("a firmware retraction that comes after the last move of a batch counts") {
  CHECK(History().feed(1).event(EventKind::firmware_retraction, 1).passes() == 3);
}

TEST_CASE("random histories agree with counting every point, for any size of batch") {
  std::mt19937 random(20240711);
  for (int round = 0; round < 200; ++round) {
    std::uniform_int_distribution<int> step(-3000, 3400);
    std::vector<double> filament_mm;
    History history;
    for (int i = 0; i < 400; ++i) {
      // Steps of 0.001 mm hit the same points again; the odd ninth digit is below a tick.
      const double filament = step(random) / 1000.0 + (i % 7 == 0 ? 4e-9 : 0);
      filament_mm.push_back(filament);
      history.feed(filament);
    }
    const std::uint64_t expected = passes_by_counting(filament_mm);
    CHECK(history.passes() == expected);
    const std::size_t size = 1 + static_cast<std::size_t>(round) % 50;
    FilamentLine line;
    for (std::size_t first = 0; first < history.batch.moves.size(); first += size) {
      MoveBatch part;
      part.settings = history.batch.settings;
      const std::size_t last = std::min(first + size, history.batch.moves.size());
      part.moves.assign(history.batch.moves.begin() + static_cast<std::ptrdiff_t>(first),
                        history.batch.moves.begin() + static_cast<std::ptrdiff_t>(last));
      line.on_moves(part);
    }
    CHECK(line.max_gear_passes() == expected);
  }
}

TEST_CASE("a long history stays exact while its oldest steps are settled") {
  // 200 000 retractions of 1 mm, 0.3 mm apart: ceil(1 / 0.3) = 4 over each point, 9 passes; one place with 20 more.
  FilamentLine line(10);
  History history;
  for (int i = 0; i < 200000; ++i) {
    history.feed(-1).feed(1.3);
    if (i == 1000) {
      for (int j = 0; j < 20; ++j) history.feed(-0.5).feed(0.5);
    }
  }
  line.on_moves(history.batch);
  line.finish();
  // 20 at [start − 0.5, start), and of the others those within it: at most 4, the one of i = 1000 among them
  CHECK(line.max_gear_passes() == 1 + 2 * (20 + 4));
  const auto worn = line.take_worn();
  REQUIRE(worn.size() == 1);
  CHECK(worn[0].most == 24);
}

TEST_CASE("a worn stretch says where it lies, who made it and which length would have been within the limit") {
  FilamentLine line(5);
  History history;
  history.feed(100);
  for (int i = 0; i < 21; ++i) history.feed(-2).feed(2.1);
  line.on_moves(history.batch);
  CHECK(line.take_worn().empty());  // not before it is known to be complete
  line.finish();
  const auto worn = line.take_worn();
  REQUIRE(worn.size() == 1);
  // Retraction i pulls [98 + 0.1 i, 100 + 0.1 i); more than 5 from 98.5 up to 101.5; 20 or 21 in the middle.
  CHECK(worn[0].low_mm == doctest::Approx(98.5));
  CHECK(worn[0].high_mm == doctest::Approx(101.5));
  CHECK(worn[0].most == 20);
  CHECK(worn[0].pull_backs.size() == 21);
  CHECK(worn[0].pull_backs.front().line == 2);
  // Sixth start after any first: 0.5 mm on. Retractions of 0.5 mm every 0.1 mm lie 5 deep.
  CHECK(worn[0].fitting_length_mm == doctest::Approx(0.5));
  CHECK(line.take_worn().empty());
}
