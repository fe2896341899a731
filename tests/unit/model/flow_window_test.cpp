#include "model/flow_window.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "support/near.hpp"
#include "support/print.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::near;

TEST_CASE("a flow that lasts longer than the window is its own mean") {
  FlowWindow window(0.1);
  window.add(1, 0.5, 8, 8);
  window.finish();
  CHECK(near(window.peak_mm3_per_s(), 8, 1e-12));
}

TEST_CASE("a burst shorter than the window is averaged over it") {
  FlowWindow window(0.1);
  window.add(1, 0.02, 10, 10);
  window.finish();
  CHECK(near(window.peak_mm3_per_s(), 2, 1e-12));
}

TEST_CASE("two bursts count together only where one window holds both") {
  FlowWindow near_by(0.1);
  near_by.add(1, 0.02, 10, 10);
  near_by.add(1.06, 0.02, 10, 10);
  near_by.finish();
  CHECK(near(near_by.peak_mm3_per_s(), 4, 1e-12));
  FlowWindow far(0.1);
  far.add(1, 0.02, 10, 10);
  far.add(5, 0.02, 10, 10);
  far.finish();
  CHECK(near(far.peak_mm3_per_s(), 2, 1e-12));
}

TEST_CASE("the highest mean lies where what enters equals what leaves") {
  // Up from 0 to 10 in 0.1 s and down again: the best window is the middle one, from −0.05 s to 0.05 s around the top:
  // 2 · (10 + 5)/2 · 0.05 s = 0.75 mm³ in 0.1 s.
  FlowWindow window(0.1);
  window.add(0, 0.1, 0, 10);
  window.add(0.1, 0.1, 10, 0);
  window.finish();
  CHECK(near(window.peak_mm3_per_s(), 7.5, 1e-12));
}

TEST_CASE("the sliding window agrees with adding up in fine steps") {
  Dice dice(7);
  for (int round = 0; round < 20; ++round) {
    FlowWindow window(0.1);
    constexpr double step_s = 1e-5;
    std::vector<double> flow;
    double time_s = 0;
    double last = 0;
    for (int i = 0; i < 40; ++i) {
      const std::size_t gap = dice.roll(4000);
      const std::size_t steps = 100 + dice.roll(3000);
      const double from = i % 3 == 0 ? static_cast<double>(dice.roll(20)) : last;
      const double to = static_cast<double>(dice.roll(20));
      if (i % 5 == 0) {
        flow.insert(flow.end(), gap, 0.0);
        time_s += static_cast<double>(gap) * step_s;
      }
      window.add(time_s, static_cast<double>(steps) * step_s, from, to);
      for (std::size_t k = 0; k < steps; ++k)
        flow.push_back(from + (to - from) * (static_cast<double>(k) + 0.5) / static_cast<double>(steps));
      time_s += static_cast<double>(steps) * step_s;
      last = to;
    }
    window.finish();
    constexpr std::size_t in_window = 10'000;
    flow.insert(flow.end(), in_window, 0.0);
    double sum = 0;
    double most = 0;
    for (std::size_t i = 0; i < flow.size(); ++i) {
      sum += flow[i] - (i >= in_window ? flow[i - in_window] : 0);
      most = std::max(most, sum * step_s / 0.1);
    }
    CHECK(near(window.peak_mm3_per_s(), most, 5e-3));
  }
}
