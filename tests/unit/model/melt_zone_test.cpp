#include "model/melt_zone.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "model/cylinder_heating.hpp"
#include "support/followed.hpp"
#include "support/near.hpp"
#include "support/print.hpp"

namespace beadwise::tests {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double zone_mm = 20;

MeltSetup setup_of(double diffusivity, double length_mm, double flow_c) {
  MeltSetup setup;
  setup.melt_zone_mm = length_mm;
  setup.diffusivity_mm2_per_s = diffusivity;
  setup.flow_temperature_c = flow_c;
  return setup;
}

/// A piece and where along the filament it begins.
struct Left {
  MeltPiece piece;
  double begin_mm = 0;
  std::uint64_t line = 0;
};

std::vector<Left> pieces_of(const MoveBatch& batch, std::uint8_t tool = 0, double length_mm = zone_mm) {
  MeltZone zone(length_mm);
  std::vector<Left> left;
  double at_mm = 0;
  std::size_t event = 0;
  for (std::size_t i = 0; i < batch.moves.size(); ++i) {
    for (; event < batch.events.size() && batch.events[event].before <= i; ++event) zone.on_event(batch.events[event]);
    const std::uint8_t used = batch.settings_of(batch.moves[i]).tool;
    for (const MeltPiece& piece : zone.on_move(batch.moves[i], used)) {
      if (used != tool) continue;
      left.push_back({piece, at_mm, batch.moves[i].line});
      at_mm += piece.filament_mm;
    }
  }
  return left;
}

/// When each position of the filament was first fed, from the speed profiles in steps of a millisecond or less; knows
/// nothing of pieces, and takes the highest position that was ever fed.
class FineSteps {
 public:
  explicit FineSteps(const MoveBatch& batch) {
    double fed_mm = 0;
    double highest_mm = 0;
    for (const Move& move : batch.moves) {
      const double length_mm = move.path_mm > 1e-9 ? move.path_mm : std::abs(move.filament_mm);
      const double begin_mm = fed_mm;
      if (move.filament_mm == 0) continue;
      const int steps = 2 + static_cast<int>(move.duration_s / 0.0005);
      double before_mm = fed_mm;
      double before_s = move.start_s;
      for (int i = 1; i <= steps; ++i) {
        const double t = move.duration_s * i / steps;
        fed_mm = begin_mm + move.filament_mm * along_mm(move, t, length_mm) / length_mm;
        const double time_s = move.start_s + t;
        if (fed_mm > highest_mm) {
          // Where the position comes back to the highest one, or goes on from it after a pause.
          const double ratio = std::max(0.0, (highest_mm - before_mm) / (fed_mm - before_mm));
          positions_mm_.push_back(highest_mm);
          times_s_.push_back(before_s + ratio * (time_s - before_s));
          positions_mm_.push_back(fed_mm);
          times_s_.push_back(time_s);
          highest_mm = fed_mm;
        }
        before_mm = fed_mm;
        before_s = time_s;
      }
    }
  }

  double time_s(double at_mm) const {
    if (at_mm < 0) return -MeltZone::unknown_wait_s;
    const auto above = std::upper_bound(positions_mm_.begin(), positions_mm_.end(), at_mm);
    const auto i = static_cast<std::size_t>(above - positions_mm_.begin());
    if (i == 0) return times_s_.front();
    if (i == positions_mm_.size()) return times_s_.back();
    const double ratio = (at_mm - positions_mm_[i - 1]) / (positions_mm_[i] - positions_mm_[i - 1]);
    return times_s_[i - 1] + ratio * (times_s_[i] - times_s_[i - 1]);
  }

 private:
  static double along_mm(const Move& move, double t, double length_mm) {
    const SpeedProfile& speed = move.speed;
    const double a = speed.acceleration_mm_per_s2;
    const double up_s = (speed.peak_mm_per_s - speed.entry_mm_per_s) / a;
    const double down_s = (speed.peak_mm_per_s - speed.exit_mm_per_s) / a;
    if (t < up_s) return speed.entry_mm_per_s * t + a * t * t / 2;
    const double left_s = move.duration_s - t;
    if (left_s < down_s) return length_mm - (speed.exit_mm_per_s * left_s + a * left_s * left_s / 2);
    return (speed.entry_mm_per_s + speed.peak_mm_per_s) / 2 * up_s + (t - up_s) * speed.peak_mm_per_s;
  }

  std::vector<double> positions_mm_;
  std::vector<double> times_s_;
};

/// Bursts, slow stretches, pauses, retractions that reach back over other moves, pushes.
std::string random_job(std::uint64_t seed, int moves) {
  Dice dice(seed);
  std::string gcode = "M83\nG28\nG1 X0 Y0 Z0.2 F6000\n";
  double x = 0;
  for (int i = 0; i < moves; ++i) {
    const std::uint64_t what = dice.roll(12);
    const double feed = 300.0 + static_cast<double>(dice.roll(9000));
    if (what == 0) gcode += fmt::format("G4 P{}\n", dice.roll(3000));
    if (what == 1) gcode += fmt::format("G1 E-{:.3f} F2400\n", 0.2 + 0.1 * static_cast<double>(dice.roll(20)));
    if (what == 2) gcode += fmt::format("G1 E{:.3f} F2400\n", 0.2 + 0.1 * static_cast<double>(dice.roll(30)));
    if (what == 3) gcode += fmt::format("G0 Y{} F9000\n", dice.roll(200));
    if (what < 4) continue;
    const double step_mm = 0.2 + 0.01 * static_cast<double>(dice.roll(what == 4 ? 20000 : 800));
    x = x > 100 ? x - step_mm : x + step_mm;
    gcode += fmt::format("G1 X{:.3f} E{:.5f} F{:.0f}\n", x, step_mm * 0.034, feed);
  }
  return gcode;
}

}  // namespace

TEST_CASE("whatever is fed, residence is leaving time less entering time of the highest position fed") {
  for (const std::uint64_t seed : {1U, 2U, 3U, 4U}) {
    CAPTURE(seed);
    const Followed job = follow(random_job(seed, 4000));
    const FineSteps truth(job.batch);
    const std::vector<Left> left = pieces_of(job.batch);
    REQUIRE(left.size() > 3000);
    for (const Left& one : left) {
      const double little = one.piece.filament_mm * 1e-3;
      const double first_mm = one.begin_mm + little;
      const double last_mm = one.begin_mm + one.piece.filament_mm - little;
      const double first = truth.time_s(first_mm) - truth.time_s(first_mm - zone_mm);
      const double last = truth.time_s(last_mm) - truth.time_s(last_mm - zone_mm);
      CAPTURE(one.line);
      // A feed of less than 20/64 mm is taken as even: 9 mm of path at 1500 mm/s² and at most 116 mm/s take 0.155 s,
      // and a ramp up and down shifts an eighth of that, 19 ms, both where a piece enters and where it leaves.
      constexpr double shift_s = 0.04;
      // The homing before the job adds an hour to what was in the zone then.
      const double before = one.begin_mm + 1e-9 < zone_mm ? MeltZone::unknown_wait_s : 0;
      const bool close = near(one.piece.first_residence_s, first + before, shift_s) &&
                         near(one.piece.last_residence_s, last + before, shift_s);
      REQUIRE(close);
    }
  }
}

TEST_CASE("at a steady flow every piece stays for the zone's volume over the flow") {
  // 2 mm of filament per second through 20 mm: 10 s, once the ramp of the first move has passed through.
  std::string gcode = "M83\nG1 Z0.2 F600\nG1 X200 E8 F3000\n";
  for (int i = 0; i < 30; ++i) gcode += i % 2 == 0 ? "G1 X0 E8\n" : "G1 X200 E8\n";
  const std::vector<Left> left = pieces_of(follow(gcode).batch);
  int judged = 0;
  for (const Left& one : left) {
    if (one.begin_mm < 60) continue;
    ++judged;
    // A turn of the head, twice 50/1500 s of ramps at half the speed: 33 ms for each move of 4 s that lies in between.
    CHECK(one.piece.first_residence_s >= 10);
    CHECK(one.piece.first_residence_s <= 10 + 3 * 0.034);
  }
  CHECK(judged > 50);
}

TEST_CASE("what is in the zone before the job counts as heated through, and is as long as the zone") {
  const std::vector<Left> left = pieces_of(follow("M83\nG1 X100 E15 F6000\nG1 X0 E15\n").batch);
  double hot_mm = 0;
  for (const Left& one : left)
    if (one.piece.last_residence_s >= MeltZone::unknown_wait_s) hot_mm += one.piece.filament_mm;
  CHECK(near(hot_mm, zone_mm, 1e-9));
}

TEST_CASE("a burst that is shorter than the zone leaves with the heat of the pause before it") {
  // 15 mm fed slowly, a pause of 60 s, then 10 mm in a second: all of it was in the zone for more than the pause, but
  // for nothing that entered in the burst.
  const std::string slow = "M83\nG1 X100 E25 F600\nG4 S60\n";
  const std::vector<Left> left = pieces_of(follow(slow + "G1 X0 E10 F6000\n").batch);
  for (const Left& one : left)
    if (one.line == 4) CHECK(one.piece.first_residence_s > 60);
}

TEST_CASE("a burst longer than the zone leaves cold from one zone's length on") {
  const std::vector<Left> left = pieces_of(follow("M83\nG1 X100 E25 F600\nG4 S60\nG1 X0 E50 F6000\n").batch);
  double burst_mm = 0;
  double quick_mm = 0;
  for (const Left& one : left) {
    if (one.line != 4) continue;
    burst_mm += one.piece.filament_mm;
    // 50 mm of filament over 100 mm of path at 100 mm/s: 50 mm/s, so 20 mm take 0.4 s and the ramps.
    if (one.piece.last_residence_s < 1) quick_mm += one.piece.filament_mm;
  }
  CHECK(near(burst_mm, 50, 1e-9));
  CHECK(near(quick_mm, 30, 1e-9));
}

TEST_CASE("a retraction and its prime feed nothing new, but their time passes") {
  const std::string before = "M83\nG1 X200 E20 F3000\nG1 X0 E20\n";
  const std::vector<Left> plain = pieces_of(follow(before + "G1 X200 E20\n").batch);
  const std::vector<Left> pulled = pieces_of(follow(before + "G1 E-5 F300\nG1 E5\nG1 X200 E20 F3000\n").batch);
  double plain_mm = 0;
  double pulled_mm = 0;
  for (const Left& one : plain) plain_mm += one.piece.filament_mm;
  for (const Left& one : pulled) pulled_mm += one.piece.filament_mm;
  CHECK(near(plain_mm, 60, 1e-9));
  CHECK(near(pulled_mm, 60, 1e-9));
  // Twice 5 mm at 5 mm/s: 2 s and a little for the ramps and the stop of the head, for all that was in the zone.
  for (const Left& one : pulled) {
    if (one.line != 6) continue;
    CHECK(one.piece.first_residence_s - 4 > 2);
    CHECK(one.piece.first_residence_s - 4 < 2.2);
  }
}

TEST_CASE("each tool has its own filament, and the other one's time counts") {
  const std::string gcode =
      "M83\nT0\nG1 X100 E20 F3000\nG1 X0 E20\nT1\nG1 X100 E20 F3000\nG1 X0 E20\nT0\nG1 X100 E10 F3000\n";
  const Followed job = follow(gcode);
  double first_mm = 0;
  double second_mm = 0;
  for (const Left& one : pieces_of(job.batch, 0)) first_mm += one.piece.filament_mm;
  for (const Left& one : pieces_of(job.batch, 1)) second_mm += one.piece.filament_mm;
  CHECK(near(first_mm, 50, 1e-9));
  CHECK(near(second_mm, 40, 1e-9));
  for (const Left& one : pieces_of(job.batch, 0))
    if (one.line == 9) CHECK(one.piece.first_residence_s > 4);
}

TEST_CASE("waits of unknown length heat what is in the zone, and only that") {
  const std::string before = "M83\nM109 S210\nG1 X100 E30 F3000\nG1 X0 E30\n";
  const auto quickest = [](const std::vector<Left>& left, std::uint64_t line) {
    double least = 1e9;
    for (const Left& one : left)
      if (one.line == line) least = std::min({least, one.piece.first_residence_s, one.piece.last_residence_s});
    return least;
  };
  CHECK(quickest(pieces_of(follow(before + "M109 S230\nG1 X100 E15\n").batch), 6) > MeltZone::unknown_wait_s);
  CHECK(quickest(pieces_of(follow(before + "M600\nG1 X100 E15\n").batch), 6) > MeltZone::unknown_wait_s);
  CHECK(quickest(pieces_of(follow(before + "M600\nG1 X100 E25\n").batch), 6) < 10);
  // It is there already: nobody waits.
  CHECK(quickest(pieces_of(follow(before + "M109 S210\nG1 X100 E15\n").batch), 6) < 10);
  // A job without speeds tells nothing about time.
  // 20 of 30 mm that an unknown time, an hour, is given to.
  CHECK(quickest(pieces_of(follow("M83\nG1 X100 E30\nG1 X0 E30\n").batch), 3) >=
        MeltZone::unknown_wait_s * 20 / 30 - 1e-6);
}

TEST_CASE("cutting moves in many changes nothing") {
  std::string whole = "M83\n";
  std::string cut = "M83\n";
  for (int i = 0; i < 20; ++i) {
    const int to = i % 2 == 0 ? 200 : 0;
    whole += fmt::format("G1 X{} E6.4 F{}\n", to, i % 3 == 0 ? 1200 : 6000);
    for (int part = 1; part <= 64; ++part)
      cut += fmt::format("G1 X{:.4f} E0.1 F{}\n", i % 2 == 0 ? part * 3.125 : 200 - part * 3.125,
                         i % 3 == 0 ? 1200 : 6000);
  }
  const auto mean_residence_s = [](const std::vector<Left>& left) {
    double sum = 0;
    double mm = 0;
    for (const Left& one : left) {
      if (one.begin_mm < 20) continue;
      sum += one.piece.filament_mm * (one.piece.first_residence_s + one.piece.last_residence_s) / 2;
      mm += one.piece.filament_mm;
    }
    return sum / mm;
  };
  const double expected = mean_residence_s(pieces_of(follow(whole).batch));
  CHECK(near(mean_residence_s(pieces_of(follow(cut).batch)), expected, 1e-3));
}

TEST_CASE("a job of tiny feeds keeps a bounded history and loses no filament") {
  std::string gcode = "M83\nG1 X0 Y0 F6000\n";
  for (int i = 0; i < 60000; ++i) gcode += i % 2 == 0 ? "G1 X1 E0.00001\n" : "G1 X0 E0.00001\n";
  double mm = 0;
  for (const Left& one : pieces_of(follow(gcode).batch, 0, 0.2)) mm += one.piece.filament_mm;
  CHECK(near(mm, 0.6, 2e-6));
}

TEST_CASE("the radius cancels: Fo = α t/R² = π α L/Q") {
  // α 0.10 mm²/s, L 20 mm, Q 10 mm³/s: Fo 0.628319 for filament of 1.75 mm (4.81056 s) and of 2.85 mm (12.75879 s).
  for (const auto& [diameter_mm, time_s] : {std::pair{1.75, 4.81056}, std::pair{2.85, 12.75879}}) {
    MeltSetup setup = setup_of(0.10, 20, 150);
    setup.filament_diameter_mm = diameter_mm;
    const double residence_s = zone_volume_mm3(setup) / 10;
    CHECK(near(residence_s, time_s, 1e-5));
    CHECK(near(flow_of_residence_mm3_per_s(setup, residence_s), 10, 1e-12));
    // T = 210 − θ_c(0.628319) × 185 = 202.17 °C
    CHECK(near(core_c(setup, residence_s, 210), 202.17, 0.005));
    CHECK(near(210 - core_lag(pi * 0.10 * 20 / 10) * 185, core_c(setup, residence_s, 210), 1e-9));
  }
}

TEST_CASE("core and mean over flow, for α L = 2 mm³/s at 210 °C") {
  struct Row {
    double flow, core, mean;
  };
  constexpr std::array rows{Row{5, 209.79, 209.91},  Row{8, 206.84, 208.64},  Row{10, 202.17, 206.62},
                            Row{12, 195.65, 203.81}, Row{15, 183.71, 198.65}, Row{20, 161.84, 189.20},
                            Row{25, 140.82, 180.08}, Row{30, 122.07, 171.85}};
  const MeltSetup setup = setup_of(0.10, 20, 150);
  for (const Row& row : rows) {
    CAPTURE(row.flow);
    const double residence_s = zone_volume_mm3(setup) / row.flow;
    CHECK(near(core_c(setup, residence_s, 210), row.core, 0.006));
    CHECK(near(mean_c(setup, residence_s, 210), row.mean, 0.006));
  }
}

TEST_CASE("the largest flow that is heated through") {
  // α 0.09, core at 150 °C: 20.48 mm³/s from 210 °C through 20 mm, 12.29 through 12 mm; 21.88 from 220 °C, 18.97 from
  // 200.
  CHECK(near(heated_flow_mm3_per_s(setup_of(0.09, 20, 150), 210), 20.484, 0.001));
  CHECK(near(heated_flow_mm3_per_s(setup_of(0.09, 12, 150), 210), 12.29, 0.005));
  CHECK(near(heated_flow_mm3_per_s(setup_of(0.09, 20, 150), 220), 21.88, 0.005));
  CHECK(near(heated_flow_mm3_per_s(setup_of(0.09, 20, 150), 200), 18.97, 0.01));
  CHECK(heated_flow_mm3_per_s(setup_of(0.09, 20, 150), 150) == 0);
}

TEST_CASE("the set point that heats a flow through is the inverse of the flow that a set point heats through") {
  const MeltSetup setup = setup_of(0.09, 20, 142);
  for (const double nozzle_c : {160.0, 200.0, 235.0}) {
    const double residence_s = heating_time_s(setup, nozzle_c);
    CHECK(near(nozzle_c_for(setup, residence_s), nozzle_c, 1e-6));
    CHECK(near(core_c(setup, residence_s, nozzle_c), 142, 1e-6));
  }
  CHECK(std::isinf(nozzle_c_for(setup, 1e-6)));
}

TEST_CASE("measured slip limits: one α L and one flow temperature give all five flows within 5 °C") {
  // Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 3: flow and the set point at which the drive slips, ABS.
  // With α L = 2.12 mm³/s and a flow temperature of 159 °C the model says 159.1, 163.7, 177.8, 199.8, 228.9 °C.
  struct Row {
    double flow, slip_c, model_c;
  };
  constexpr std::array rows{Row{5, 155, 159.1}, Row{10, 167, 163.7}, Row{15, 181, 177.8}, Row{20, 201, 199.8},
                            Row{25, 225, 228.9}};
  const MeltSetup setup = setup_of(2.12 / 20, 20, 159);
  for (const Row& row : rows) {
    CAPTURE(row.flow);
    const double needed_c = nozzle_c_for(setup, zone_volume_mm3(setup) / row.flow);
    CHECK(near(needed_c, row.slip_c, 5));
    CHECK(near(needed_c, row.model_c, 0.1));
  }
}

TEST_CASE("the record of a job: one sample per bead, and the coldest core of job and layers") {
  std::string gcode = "M83\nM109 S210\nG1 Z0.2 F600\nG1 X100 E2 F600\n";
  for (int i = 0; i < 40; ++i) gcode += i % 2 == 0 ? "G1 X0 E2 F600\n" : "G1 X100 E2\n";
  gcode += "G1 Z0.4 F600\n";
  for (int i = 0; i < 40; ++i) gcode += i % 2 == 0 ? "G1 X0 E4 F10000\n" : "G1 X100 E4\n";
  const Followed job = follow(gcode);
  MeltRecord record(setup_of(0.09, 20, 142));
  record.keep_layers(true);
  const auto samples = record.on_moves(job.batch);
  CHECK(samples.size() == 81);
  REQUIRE(record.coldest());
  CHECK(record.coldest()->layer == 2);
  CHECK(record.coldest()->core_c < 209);
  CHECK(record.coldest()->flow_asked_mm3_per_s > 10);
  REQUIRE(record.layers().size() == 2);
  CHECK(record.layers()[0].core_c > 209);
  CHECK(record.layers()[1].core_c == record.coldest()->core_c);
  for (const MeltSample& sample : samples) CHECK(sample.core_c <= sample.mean_c + 1e-9);
}

}  // namespace beadwise::tests
