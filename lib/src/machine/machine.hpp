#pragma once

#include <array>
#include <limits>
#include <string_view>
#include <vector>

#include "beadwise/move.hpp"
#include "beadwise/profile.hpp"
#include "beadwise/reader.hpp"
#include "machine/arcs.hpp"
#include "machine/command_names.hpp"
#include "machine/layer_splitter.hpp"
#include "machine/modal_state.hpp"
#include "machine/motion_plan.hpp"

namespace beadwise {

/// What a machine is made with.
struct MachineSetup {
  double filament_diameter_mm = 1.75;
  EUnit e_unit = EUnit::mm;           ///< `neither` is followed as if it were a length
  double firmware_retraction_mm = 0;  ///< of G10 where the file gives no M207
  double max_speed_mm_per_s = 0;      ///< 0: none
  double acceleration_mm_per_s2 = 1500;
  double max_acceleration_mm_per_s2 = 0;  ///< caps what the file asks for; 0: none
  double z_acceleration_mm_per_s2 = 1500;
  double extruder_acceleration_mm_per_s2 = 1500;
  double corner_speed_mm_per_s = 5;
};

/// The setup that a profile means; guesses filled in.
MachineSetup setup_from(const MachineProfile& profile);

/// Follows the lines of a job: reads blocks in order and gives moves in order, planned in time and numbered by layer.
class Machine {
 public:
  explicit Machine(const MachineSetup& setup);

  /// The lines of `block` that begin before byte `until` of the job.
  void read(const ParsedBlock& block, std::uint64_t until = std::numeric_limits<std::uint64_t>::max());
  /// No more blocks come.
  void finish();

  /// The next batch, in order. False where more has to be read first (or all was given out). Where a batch ends does
  /// not depend on the blocks.
  bool next(MoveBatch& batch);

  /// At the end of what was read.
  Point position_mm() const { return state_.at_mm; }
  const Settings& settings() const { return settings_; }
  /// Filament diameter that the file itself names (M200 D), mm; 0 where it names none.
  double named_filament_diameter_mm() const { return named_diameter_mm_; }

 private:
  struct Words;
  void read_line(const Line& line);
  void read_words(const Line& line);
  void read_extended(const Line& line);
  void believe(const Line& line, KeyMeaning meaning, double value);
  void read_comment(std::string_view comment);
  void report_troubles(const Line& line, std::string_view letters_that_matter);
  void report_far(const Line& line, const Words& words);
  void report(const Line& line, TroubleKind kind, std::uint32_t column, std::string_view text, bool matters);
  void run_commands(const Line& line, Words& words);
  bool is_followed(const Words& words) const;
  bool run_g(const Line& line, const Words& words, int tenths);
  bool run_m(const Line& line, const Words& words, int tenths);
  bool run_m_heat(const Line& line, const Words& words, int code);
  bool run_m_limits(const Line& line, const Words& words, int code);
  bool run_m_ends(const Line& line, int code);
  void set_modes(const Line& line, const Words& words);
  void set_nozzle(const Line& line, int tool, double celsius, bool waits);
  void set_bed(const Line& line, double celsius, bool waits);
  void set_origin(const Line& line, const Words& words);
  void shift_origin(const Line& line, int tenths);
  void home(const Line& line, const Words& words);
  void dwell(const Line& line, const Words& words);
  void pull_by_firmware(const Line& line);
  void prime_by_firmware(const Line& line);
  void change_tool(const Line& line, double number);
  void move(const Line& line, const Words& words, int motion);
  double target_of(const Words& words, char letter, double from_mm) const;
  double filament_of(const Words& words);
  ArcSolution arc_of(const Words& words, int motion, const Move& move) const;
  MoveLimits limits_of(const Move& move, const Arc* arc) const;
  Event& event(EventKind kind, const Line& line);
  void stop();
  std::uint32_t settings_index();
  Settings& change_settings();
  void add_move(const Line& line, Move move, const ArcSolution* arc);
  void hand_out(std::size_t moves, bool last);
  void set_time(MoveBatch& batch);
  MoveBatch cut_pending(std::size_t moves, bool last);

  MachineSetup setup_;
  double filament_area_mm2_;
  ModalState state_;
  FileLimits file_;
  std::array<ToolState, 64> tools_{};
  double firmware_retraction_mm_;
  Settings settings_;
  bool settings_changed_ = true;  ///< since they were last put into the batch
  bool stopped_ = true;
  BeadRole role_ = BeadRole::unknown;
  MoveBatch pending_;
  std::vector<MoveBatch> ready_;
  std::size_t first_ready_ = 0;
  MoveBatch spare_;
  LayerSplitter splitter_;
  MotionPlan plan_;
  double clock_s_ = 0;
  double named_diameter_mm_ = 0;
  std::uint32_t last_layer_ = 0;
};

}  // namespace beadwise
