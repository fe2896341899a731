#include "analyse/batch_follower.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <stdexcept>

using namespace beadwise;

namespace {

MoveBatch batch_of(std::uint64_t line) {
  MoveBatch batch;
  batch.moves.emplace_back().line = line;
  return batch;
}

}  // namespace

TEST_CASE("batches are followed in the order they were given, all of them by the end") {
  std::vector<std::uint64_t> followed;
  BatchFollower follower([&](const MoveBatch& batch) {
    followed.push_back(batch.moves.front().line);
    return followed.size();
  });
  for (std::uint64_t line = 1; line <= 1000; ++line) {
    MoveBatch batch = batch_of(line);
    follower.give(batch);
  }
  follower.finish();
  REQUIRE(followed.size() == 1000);
  for (std::uint64_t i = 0; i < 1000; ++i) CHECK(followed[i] == i + 1);
}

TEST_CASE("what goes wrong while a batch is followed is thrown to the one who gives") {
  BatchFollower follower([](const MoveBatch& batch) {
    if (batch.moves.front().line == 3) throw std::runtime_error("third");
    return BatchFollower::fewest_waiting;
  });
  const auto give_all = [&] {
    for (std::uint64_t line = 1; line <= 1000; ++line) {
      MoveBatch batch = batch_of(line);
      follower.give(batch);
    }
    follower.finish();
  };
  CHECK_THROWS_WITH_AS(give_all(), "third", std::runtime_error);
}

TEST_CASE("one who gives no more leaves what waits and does not hang") {
  std::atomic<std::size_t> followed{0};
  {
    BatchFollower follower([&](const MoveBatch&) { return ++followed; });
    for (std::uint64_t line = 1; line <= 3; ++line) {
      MoveBatch batch = batch_of(line);
      follower.give(batch);
    }
  }
  CHECK(followed <= 3);
}
