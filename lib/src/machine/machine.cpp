#include "machine/machine.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/circle.hpp"
#include "base/plain_number.hpp"
#include "machine/command_names.hpp"
#include "machine/comment_words.hpp"
#include "machine/in_order.hpp"

namespace beadwise {

namespace {

// Contract of the figures: docs/figures.md.
constexpr double nothing_mm = 1e-9;
constexpr int no_command = -1;
constexpr std::size_t batch_moves = 4096;
constexpr std::size_t most_events = 16384;
constexpr std::size_t longest_text = 80;
constexpr double seconds_per_minute = 60;
constexpr double milliseconds_per_second = 1000;
// No machine goes, feeds or heats beyond this, in any unit; figures made of such numbers stay numbers.
constexpr double out_of_reach = 1e9;
constexpr double full_fan = 255;  // common practice: M106 S counts to 255

bool is_motion(int tenths) { return tenths >= 0 && tenths <= 30 && tenths % 10 == 0; }

// Commands of one kind exclude each other on a line (NISTIR 6556, section 3.4, table 4, as far as printers have them).
enum class CommandKind : unsigned char { motion, units, distance, plane, other };

CommandKind kind_of(int tenths) {
  switch (tenths) {
    case 0:
    case 10:
    case 20:
    case 30:
      return CommandKind::motion;
    case 200:
    case 210:
      return CommandKind::units;
    case 900:
    case 910:
      return CommandKind::distance;
    case 170:
    case 180:
    case 190:
      return CommandKind::plane;
    default:
      return CommandKind::other;
  }
}

bool wants_axes(int tenths) { return tenths == 280 || tenths == 300 || tenths == 920 || is_motion(tenths); }

bool is_of_mills(char letter, int tenths) {
  if (letter == 'M') return tenths >= 30 && tenths <= 90 && tenths % 10 == 0;
  return (tenths >= 400 && tenths <= 490) || (tenths >= 540 && tenths <= 593) || (tenths >= 930 && tenths <= 950);
}

std::string_view cut(std::string_view text) { return text.substr(0, longest_text); }

bool is_merge_mark(std::string_view text) {
  return text.starts_with("<<<<<<<") || text.starts_with("=======") || text.starts_with(">>>>>>>") ||
         text.starts_with("|||||||");
}

}  // namespace

/// The words of one line, by letter, and its commands in order.
struct Machine::Words {
  struct Command {
    int tenths;
    std::uint32_t column;
  };
  Words() {}  // leaves the commands as they are: only the first `g_count` and `m_count` mean something
  std::array<double, 26> values;
  std::uint32_t valued = 0;  ///< letters with a number
  std::uint32_t named = 0;   ///< letters with or without one
  std::array<Command, max_words_per_line> g;
  std::array<Command, max_words_per_line> m;
  std::size_t g_count = 0;
  std::size_t m_count = 0;
  bool tool_first = false;       ///< T stands before any other command
  std::uint32_t far_column = 0;  ///< of the first word that is out of reach, from 1; 0 where there is none

  static std::uint32_t bit(char letter) { return 1U << static_cast<unsigned>(letter - 'A'); }
  bool has(char letter) const { return (valued & bit(letter)) != 0; }
  bool names(char letter) const { return (named & bit(letter)) != 0; }
  double operator[](char letter) const { return values[static_cast<std::size_t>(letter - 'A')]; }
  double get(char letter, double otherwise) const { return has(letter) ? (*this)[letter] : otherwise; }
  bool repeats_motion() const {
    constexpr std::string_view letters = "XYZEIJKR";
    return g_count == 0 && m_count == 0 && !names('T') &&
           std::any_of(letters.begin(), letters.end(), [this](char letter) { return has(letter); });
  }
};

MachineSetup setup_from(const MachineProfile& profile) {
  MachineSetup setup;
  setup.filament_diameter_mm = profile.filament_diameter_mm.value.value_or(setup.filament_diameter_mm);
  setup.e_unit = profile.e_unit.value.value_or(EUnit::mm);
  setup.firmware_retraction_mm = profile.firmware_retraction_mm.value.value_or(0);
  setup.max_speed_mm_per_s = profile.max_speed_mm_per_s.value.value_or(0);
  setup.acceleration_mm_per_s2 = profile.max_acceleration_mm_per_s2.value.value_or(setup.acceleration_mm_per_s2);
  if (profile.max_acceleration_mm_per_s2.stated()) setup.max_acceleration_mm_per_s2 = setup.acceleration_mm_per_s2;
  setup.z_acceleration_mm_per_s2 = profile.z_acceleration_mm_per_s2.value.value_or(setup.z_acceleration_mm_per_s2);
  setup.extruder_acceleration_mm_per_s2 =
      profile.extruder_acceleration_mm_per_s2.value.value_or(setup.extruder_acceleration_mm_per_s2);
  setup.corner_speed_mm_per_s = profile.corner_speed_mm_per_s.value.value_or(setup.corner_speed_mm_per_s);
  return setup;
}

Machine::Machine(const MachineSetup& setup)
    : setup_(setup),
      filament_area_mm2_(circle_area_mm2(setup.filament_diameter_mm)),
      firmware_retraction_mm_(setup.firmware_retraction_mm) {
  settings_.nozzle_c.fill(std::numeric_limits<double>::quiet_NaN());
  settings_.bed_c = settings_.chamber_c = std::numeric_limits<double>::quiet_NaN();
  file_.corner.value = file_.corner.value_y = setup.corner_speed_mm_per_s;
}

void Machine::read(const ParsedBlock& block, std::uint64_t until) {
  for (std::size_t i = 0; i < block.size(); ++i) {
    const Line line = block.line(i);
    if (line.offset >= until) return;
    read_line(line);
  }
}

void Machine::finish() {
  splitter_.decide(pending_.moves);
  hand_out(pending_.moves.size(), true);
}

bool Machine::next(MoveBatch& batch) {
  if (first_ready_ == ready_.size()) {
    ready_.clear();
    first_ready_ = 0;
    return false;
  }
  std::swap(batch, ready_[first_ready_]);
  spare_ = std::move(ready_[first_ready_++]);
  return true;
}

void Machine::read_line(const Line& line) {
  if (line.checksum == Checksum::wrong) event(EventKind::bad_checksum, line);
  if (!line.comment.empty()) read_comment(line.comment);
  switch (line.form) {
    case LineForm::blank:
    case LineForm::message:
      return;
    case LineForm::extended:
      read_extended(line);
      return;
    case LineForm::words:
      read_words(line);
      return;
    case LineForm::unread:
      break;
  }
  const Trouble trouble = line.troubles.empty() ? Trouble{} : line.troubles.front();
  const std::string_view text =
      line.text.substr(std::min<std::size_t>(trouble.column > 0 ? trouble.column - 1 : 0, line.text.size()));
  if (trouble.kind == TroubleKind::command)
    report(line, TroubleKind::command, trouble.column, text, true);
  else
    report(line, TroubleKind::text_line, trouble.column, text, is_merge_mark(text));
}

void Machine::read_comment(std::string_view comment) {
  if (const auto role = role_in_comment(comment)) role_ = *role;
}

void Machine::report(const Line& line, TroubleKind kind, std::uint32_t column, std::string_view text, bool matters) {
  Event& unread = event(EventKind::unread, line);
  unread.trouble = kind;
  unread.column = column;
  unread.text = cut(text);
  unread.value = matters ? 1 : 0;
}

void Machine::report_troubles(const Line& line, std::string_view letters_that_matter) {
  for (const Trouble& trouble : line.troubles) {
    const std::string_view text = line.text.substr(trouble.column - 1, trouble.length);
    const char letter = text.empty() ? ' ' : static_cast<char>(text.front() & ~0x20);
    const bool matters =
        trouble.kind == TroubleKind::word && letters_that_matter.find(letter) != std::string_view::npos;
    report(line, trouble.kind, trouble.column, text, matters);
  }
}

void Machine::report_far(const Line& line, const Words& words) {
  if (words.far_column == 0) return;
  report(line, TroubleKind::bad_value, words.far_column, line.text.substr(words.far_column - 1), true);
}

void Machine::read_extended(const Line& line) {
  Event& macro = event(EventKind::macro, line);
  macro.text = cut(line.name);
  macro.may_heat = may_act_unseen(line.name);
  std::uint32_t said = 0;
  std::string_view rest = line.arguments;
  for (std::size_t equals = rest.find('='); equals != std::string_view::npos; equals = rest.find('=')) {
    const std::string_view before = rest.substr(0, equals);
    const std::string_view key = before.substr(before.find_last_of(" \t") + 1);
    rest.remove_prefix(equals + 1);
    // Keys of macros carry plain decimal numbers; anything else is a name or a list.
    const std::optional<double> value = plain_number(rest.substr(0, rest.find_first_of(" \t")));
    if (!value || *value >= out_of_reach || (*value > 0 && *value <= nothing_mm)) continue;
    const KeyMeaning meaning = meaning_of_key(key, *value);
    const std::uint32_t bit = 1U << static_cast<unsigned>(meaning);
    // The first of two keys for one thing is for the first layer, mostly.
    if ((said & bit) == 0) believe(line, meaning, *value);
    said |= bit;
  }
}

void Machine::believe(const Line& line, KeyMeaning meaning, double value) {
  switch (meaning) {
    case KeyMeaning::none:
      return;
    case KeyMeaning::nozzle_c:
      set_nozzle(line, settings_.tool, value, false);
      return;
    case KeyMeaning::bed_c:
      set_bed(line, value, false);
      return;
    case KeyMeaning::chamber_c:
      change_settings().chamber_c = value;
      return;
    case KeyMeaning::acceleration_mm_per_s2:
      file_.print_mm_per_s2 = file_.travel_mm_per_s2 = value;
      event(EventKind::acceleration_set, line).value = value;
      return;
    case KeyMeaning::corner_mm_per_s:
      file_.corner = {CornerRule::Form::right_angle_speed, value, value};
      return;
  }
}

void Machine::read_words(const Line& line) {
  Words words;
  for (const Word& word : line.words) {
    const int tenths = static_cast<int>(std::lround(std::clamp(word.value, -1e8, 1e8) * 10));
    if (word.letter == 'G' && words.g_count < words.g.size())
      words.g[words.g_count++] = {tenths, word.column};
    else if (word.letter == 'M' && words.m_count < words.m.size())
      words.m[words.m_count++] = {tenths, word.column};
    else {
      if (word.letter == 'T' && words.g_count + words.m_count == 0) words.tool_first = true;
      words.named |= Words::bit(word.letter);
      if (!word.has_value) continue;
      if (std::abs(word.value) >= out_of_reach) {
        if (words.far_column == 0) words.far_column = word.column;
        continue;
      }
      words.valued |= Words::bit(word.letter);
      words.values[static_cast<std::size_t>(word.letter - 'A')] = std::abs(word.value) > nothing_mm ? word.value : 0;
    }
  }
  if (words.repeats_motion()) {
    report_troubles(line, "XYZEIJKR");
    report_far(line, words);
    if (state_.motion >= 0) {
      move(line, words, state_.motion);
    } else {
      report(line, TroubleKind::no_motion_mode, 1, line.text, true);
    }
    return;
  }
  run_commands(line, words);
}

bool Machine::is_followed(const Words& words) const {
  if (words.g_count > 0) return true;
  for (std::size_t i = 0; i < words.m_count; ++i) {
    const int code = words.m[i].tenths / 10;
    if (code == 104 || code == 109 || code == 140 || code == 190 || code == 106 || code == 220 || code == 221)
      return true;
  }
  return words.m_count == 0;
}

void Machine::run_commands(const Line& line, Words& words) {
  const bool heats = words.m_count > 0;
  if (is_followed(words)) {
    report_troubles(line, heats ? "SR" : "XYZEIJKR");
    report_far(line, words);
  }
  if (words.names('T') && (words.tool_first || (words.g_count == 0 && (words.m_count == 0 || words.m[0].tenths == 60))))
    change_tool(line, words.get('T', -1));
  if (words.g_count + words.m_count == 0) {
    if (words.has('F'))
      state_.feedrate_mm_per_s = words['F'] > 0
                                     ? words['F'] / seconds_per_minute * (state_.inches ? ModalState::inch_mm : 1)
                                     : state_.feedrate_mm_per_s;
    return;
  }
  set_modes(line, words);
  for (std::size_t i = 0; i < words.m_count; ++i) {
    const int tenths = words.m[i].tenths;
    if (run_m(line, words, tenths)) continue;
    Event& unknown = event(is_of_mills('M', tenths) ? EventKind::spindle : EventKind::unknown_command, line);
    unknown.text = command_name('M', tenths);
    unknown.may_heat = may_act_unseen('M', tenths);
  }
  int axes_taken = no_command;
  int motion = no_command;
  for (std::size_t i = 0; i < words.g_count; ++i) {
    const int tenths = words.g[i].tenths;
    const CommandKind kind = kind_of(tenths);
    if (kind != CommandKind::motion && kind != CommandKind::other) continue;
    if (wants_axes(tenths)) {
      if (axes_taken != no_command) {
        report(line, TroubleKind::repeated_command, words.g[i].column, command_name('G', tenths), true);
        continue;
      }
      axes_taken = tenths;
    }
    if (kind == CommandKind::motion) {
      motion = tenths / 10;
    } else if (!run_g(line, words, tenths)) {
      Event& unknown = event(is_of_mills('G', tenths) ? EventKind::spindle : EventKind::unknown_command, line);
      unknown.text = command_name('G', tenths);
      unknown.may_heat = may_act_unseen('G', tenths);
    }
  }
  if (motion != no_command) move(line, words, motion);
}

void Machine::set_modes(const Line& line, const Words& words) {
  std::array<bool, 5> taken{};
  for (std::size_t i = 0; i < words.g_count; ++i) {
    const int tenths = words.g[i].tenths;
    const CommandKind kind = kind_of(tenths);
    if (kind == CommandKind::motion || kind == CommandKind::other) continue;
    bool& used = taken[static_cast<std::size_t>(kind)];
    if (used) {
      report(line, TroubleKind::repeated_command, words.g[i].column, command_name('G', tenths), false);
      continue;
    }
    used = true;
    switch (kind) {
      case CommandKind::units:
        state_.inches = tenths == 200;
        break;
      case CommandKind::distance:
        state_.relative = tenths == 910;
        state_.relative_e = state_.relative || state_.e_stays_relative;
        break;
      default:
        state_.plane = static_cast<std::uint8_t>(tenths / 10);
    }
  }
}

bool Machine::run_g(const Line& line, const Words& words, int tenths) {
  const bool sets_something =
      words.names('P') || words.names('L') || words.names('X') || words.names('Y') || words.names('Z');
  switch (tenths) {
    case 40:
      dwell(line, words);
      return true;
    case 100:
      if (!sets_something) pull_by_firmware(line);
      // With P and S it gives a tool its temperature (common practice).
      else if (words.has('P') && words.has('S') && !words.has('L'))
        set_nozzle(line, static_cast<int>(std::clamp(words['P'], -1.0, 1e6)), words['S'], false);
      return true;
    case 110:
      if (!sets_something) prime_by_firmware(line);
      return true;
    case 280:
      home(line, words);
      return true;
    case 290:
    case 300:
    case 382:
    case 383:
    case 384:
    case 385:
      event(EventKind::probing, line).text = command_name('G', tenths);
      stop();
      return true;
    case 530:
      return true;
    case 920:
      set_origin(line, words);
      return true;
    case 921:
    case 922:
    case 923:
      shift_origin(line, tenths);
      return true;
    default:
      return false;
  }
}

bool Machine::run_m(const Line& line, const Words& words, int tenths) {
  if (tenths % 10 != 0) return false;
  const int code = tenths / 10;
  if (run_m_heat(line, words, code) || run_m_limits(line, words, code) || run_m_ends(line, code)) return true;
  switch (code) {
    case 18:
    case 84:
      // With S it sets the time after which the motors rest, and with E alone it frees the extruder.
      if (!words.has('S') && !(words.names('E') && !words.names('X') && !words.names('Z')))
        event(EventKind::motors_off, line);
      return true;
    case 6:
      return words.names('T');
    case 82:
    case 83:
      state_.e_stays_relative = state_.relative_e = code == 83;
      return true;
    case 101:
      event(EventKind::extruder_on, line);
      return true;
    case 103:
      event(EventKind::extruder_off, line);
      return true;
    case 106:
    case 107: {
      if (words.get('P', 0) > 1) return true;  // another fan than the part's
      const double asked = code == 107 ? 0 : words.get('S', full_fan);
      const double ratio = asked > 0 && asked < 1 ? asked : std::clamp(asked / full_fan, 0.0, 1.0);
      change_settings().fan_ratio = ratio;
      event(EventKind::fan_set, line).value = ratio;
      return true;
    }
    case 200:
      if (words.has('D')) state_.volume_diameter_mm = std::max(0.0, words['D']);
      if (state_.volume_diameter_mm > 0) named_diameter_mm_ = state_.volume_diameter_mm;
      if (words.has('S') && words['S'] == 0) state_.volume_diameter_mm = 0;
      if (words.has('S') && words['S'] > 0 && !words.has('D') && state_.volume_diameter_mm <= 0)
        state_.volume_diameter_mm = setup_.filament_diameter_mm;
      return true;
    case 207:
      if (words.has('S')) firmware_retraction_mm_ = std::max(0.0, words['S']);
      return true;
    case 208:
      return true;
    case 220:
      if (words.get('S', 0) > 0) {
        state_.speed_factor = words['S'] / 100;
        event(EventKind::speed_factor_set, line).value = state_.speed_factor;
      }
      return true;
    case 221:
      if (words.get('S', 0) > 0) {
        state_.flow_factor = words['S'] / 100;
        event(EventKind::flow_factor_set, line).value = state_.flow_factor;
      }
      return true;
    case 400:
      stop();
      return false;
    default:
      return false;
  }
}

bool Machine::run_m_heat(const Line& line, const Words& words, int code) {
  const double asked = words.has('S') ? words['S'] : words.get('R', -1);
  const bool given = words.has('S') || words.has('R');
  switch (code) {
    case 104:
    case 109:
      if (given)
        set_nozzle(line, words.has('T') ? static_cast<int>(std::clamp(words['T'], -1.0, 1e6)) : settings_.tool, asked,
                   code == 109);
      else if (code == 109)
        event(EventKind::wait_for_heat, line).waits = true;
      break;
    case 140:
    case 190:
      if (given)
        set_bed(line, asked, code == 190);
      else if (code == 190)
        event(EventKind::wait_for_heat, line).waits = true;
      break;
    case 141:
    case 191:
      if (!given) break;
      change_settings().chamber_c = asked;
      event(EventKind::chamber_set, line).value = asked;
      pending_.events.back().waits = code == 191;
      break;
    case 116:
      event(EventKind::wait_for_heat, line).waits = true;
      break;
    default:
      return false;
  }
  if (code != 104 && code != 140 && code != 141) stop();
  return true;
}

bool Machine::run_m_limits(const Line& line, const Words& words, int code) {
  constexpr std::string_view axes = "XYZE";
  switch (code) {
    case 201:
    case 203: {
      auto& limits = code == 201 ? file_.axis_mm_per_s2 : file_.axis_mm_per_s;
      double largest = 0;
      for (std::size_t axis = 0; axis < axes.size(); ++axis)
        if (words.get(axes[axis], 0) > 0) {
          limits[axis] = words[axes[axis]];
          if (axis < 2) largest = std::max(largest, limits[axis]);
        }
      if (largest > 0)
        event(code == 201 ? EventKind::acceleration_set : EventKind::speed_limit_set, line).value = largest;
      return true;
    }
    case 204: {
      if (words.get('S', 0) > 0) file_.print_mm_per_s2 = file_.travel_mm_per_s2 = words['S'];
      if (words.get('P', 0) > 0) file_.print_mm_per_s2 = words['P'];
      if (words.get('T', 0) > 0) file_.travel_mm_per_s2 = words['T'];
      if (words.get('R', 0) > 0) file_.extruder_mm_per_s2 = words['R'];
      change_settings().acceleration_mm_per_s2 = file_.print_mm_per_s2;
      event(EventKind::acceleration_set, line).value = std::max(file_.print_mm_per_s2, file_.travel_mm_per_s2);
      return true;
    }
    case 205:
      if (words.get('J', 0) > 0) {
        file_.corner = {CornerRule::Form::deviation, words['J'], words['J']};
      } else if (words.get('X', 0) > 0 || words.get('Y', 0) > 0) {
        const double x = words.get('X', 0) > 0 ? words['X'] : words['Y'];
        file_.corner = {CornerRule::Form::speed_change, x, words.get('Y', 0) > 0 ? words['Y'] : x};
      }
      return true;
    default:
      return false;
  }
}

bool Machine::run_m_ends(const Line& line, int code) {
  switch (code) {
    case 0:
    case 1:
    case 25:
    case 226:
      event(EventKind::pause, line).waits = true;
      break;
    case 600:
      event(EventKind::filament_change, line).waits = true;
      break;
    case 2:
    case 30:
      event(EventKind::program_end, line);
      break;
    default:
      return false;
  }
  stop();
  return true;
}

void Machine::set_nozzle(const Line& line, int tool, double celsius, bool waits) {
  if (tool < 0 || tool >= static_cast<int>(tools_.size())) return;
  change_settings().nozzle_c[static_cast<std::size_t>(tool)] = celsius;
  Event& set = event(EventKind::nozzle_set, line);
  set.tool = static_cast<std::uint8_t>(tool);
  set.value = celsius;
  set.waits = waits;
}

void Machine::set_bed(const Line& line, double celsius, bool waits) {
  change_settings().bed_c = celsius;
  Event& set = event(EventKind::bed_set, line);
  set.value = celsius;
  set.waits = waits;
}

void Machine::home(const Line& line, const Words& words) {
  std::string axes;
  for (const char axis : {'X', 'Y', 'Z'})
    if (words.names(axis)) axes += axis;
  if (axes.empty()) axes = "XYZ";
  Event& homing = event(EventKind::homing, line);
  homing.text = axes;
  std::array<double*, 3> at{&state_.at_mm.x, &state_.at_mm.y, &state_.at_mm.z};
  for (const char axis : axes) {
    *at[static_cast<std::size_t>(axis - 'X')] = 0;
    state_.offset_mm[static_cast<std::size_t>(axis - 'X')] = 0;
  }
  stop();
}

void Machine::set_origin(const Line& line, const Words& words) {
  std::string axes;
  for (const char axis : {'X', 'Y', 'Z', 'E'})
    if (words.names(axis)) axes += axis;
  if (axes.empty()) axes = "XYZE";
  event(EventKind::origin_set, line).text = axes;
  const double unit = state_.inches ? ModalState::inch_mm : 1;
  std::array<double*, 3> at{&state_.at_mm.x, &state_.at_mm.y, &state_.at_mm.z};
  for (const char axis : axes) {
    const double value = words.get(axis, 0) * unit;
    if (axis == 'E') {
      state_.e = value;
      continue;
    }
    const auto i = static_cast<std::size_t>(axis - 'X');
    state_.offset_mm[i] += *at[i] - value;
    *at[i] = value;
  }
}

// G92.1 takes the offsets back for good, G92.2 for a while, until G92.3 (NISTIR 6556, section 3.5.18).
void Machine::shift_origin(const Line& line, int tenths) {
  const std::array<double, 3> wanted = tenths == 923 ? state_.saved_offset_mm : std::array<double, 3>{};
  if (tenths == 921) state_.saved_offset_mm = {};
  if (tenths == 922) state_.saved_offset_mm = state_.offset_mm;
  state_.at_mm.x += state_.offset_mm[0] - wanted[0];
  state_.at_mm.y += state_.offset_mm[1] - wanted[1];
  state_.at_mm.z += state_.offset_mm[2] - wanted[2];
  state_.offset_mm = wanted;
  event(EventKind::origin_set, line).text = "XYZ";
}

void Machine::dwell(const Line& line, const Words& words) {
  const double seconds = words.has('S') ? words['S'] : words.get('P', 0) / milliseconds_per_second;
  if (seconds < 0) {
    report(line, TroubleKind::bad_value, 1, line.text, false);
    return;
  }
  Event& waiting = event(EventKind::dwell, line);
  waiting.value = seconds;
  waiting.waits = true;
  stop();
}

void Machine::pull_by_firmware(const Line& line) {
  ToolState& tool = tools_[settings_.tool];
  if (tool.firmware_pulled) return;
  tool.firmware_pulled = true;
  event(EventKind::firmware_retraction, line).value = firmware_retraction_mm_;
  stop();
}

void Machine::prime_by_firmware(const Line& line) {
  ToolState& tool = tools_[settings_.tool];
  if (!tool.firmware_pulled) return;
  tool.firmware_pulled = false;
  event(EventKind::firmware_prime, line).value = firmware_retraction_mm_;
  stop();
}

void Machine::change_tool(const Line& line, double number) {
  if (number < 0 || number >= static_cast<double>(tools_.size())) {
    Event& unknown = event(EventKind::unknown_command, line);
    unknown.text = number < 0 ? "T" : command_name('T', static_cast<int>(std::min(number, 1e8)) * 10);
    return;
  }
  const auto tool = static_cast<std::uint8_t>(number);
  if (tool == settings_.tool) return;
  change_settings().tool = tool;
  Event& change = event(EventKind::tool_change, line);
  change.tool = tool;
  change.value = tool;
  change.waits = true;
  stop();
}

double Machine::target_of(const Words& words, char letter, double from_mm) const {
  if (!words.has(letter)) return from_mm;
  const double value = words[letter] * (state_.inches ? ModalState::inch_mm : 1);
  return state_.relative ? from_mm + value : value;
}

double Machine::filament_of(const Words& words) {
  if (!words.has('E')) return 0;
  const double value = words['E'] * (state_.inches ? ModalState::inch_mm : 1);
  const double difference = state_.relative_e ? value : value - state_.e;
  state_.e = state_.relative_e ? state_.e + value : value;
  double filament_mm = difference * state_.flow_factor;
  if (state_.volume_diameter_mm > 0)
    filament_mm /= circle_area_mm2(state_.volume_diameter_mm);
  else if (setup_.e_unit == EUnit::mm3)
    filament_mm /= filament_area_mm2_;
  return filament_mm;
}

ArcSolution Machine::arc_of(const Words& words, int motion, const Move& move) const {
  const double unit = state_.inches ? ModalState::inch_mm : 1;
  ArcCommand command;
  command.from_mm = move.from_mm;
  command.to_mm = move.to_mm;
  command.i_mm = words.get('I', 0) * unit;
  command.j_mm = words.get('J', 0) * unit;
  command.k_mm = words.get('K', 0) * unit;
  command.r_mm = words.get('R', 0) * unit;
  command.has_radius = words.has('R');
  command.clockwise = motion == 2;
  command.plane = state_.plane;
  const bool xy = state_.plane == 17;
  const bool zx = state_.plane == 18;
  command.has_offset = words.has(xy || zx ? 'I' : 'J') || words.has(xy ? 'J' : 'K');
  command.has_end_point = words.has(xy || zx ? 'X' : 'Y') || words.has(xy ? 'Y' : 'Z');
  return solve_arc(command);
}

void Machine::move(const Line& line, const Words& words, int motion) {
  state_.motion = motion;
  for (const char axis : {'X', 'Y', 'Z', 'E', 'F', 'I', 'J', 'K', 'R'})
    if (words.far_column == 0 && words.names(axis) && !words.has(axis))
      report(line, TroubleKind::bad_value, 1, std::string_view(&axis, 1), axis != 'F');
  if (words.has('F')) {
    if (words['F'] > 0)
      state_.feedrate_mm_per_s = words['F'] / seconds_per_minute * (state_.inches ? ModalState::inch_mm : 1);
    else
      event(EventKind::zero_feed, line).value = words['F'];
  }
  Move move;
  move.from_mm = state_.at_mm;
  move.to_mm = {target_of(words, 'X', move.from_mm.x), target_of(words, 'Y', move.from_mm.y),
                target_of(words, 'Z', move.from_mm.z)};
  move.filament_mm = filament_of(words);
  move.rapid = motion == 0;
  if (motion < 2) {
    add_move(line, move, nullptr);
    return;
  }
  const ArcSolution arc = arc_of(words, motion, move);
  if (arc.trouble.empty()) {
    add_move(line, move, &arc);
    return;
  }
  event(EventKind::broken_arc, line).text = arc.trouble;
  add_move(line, move, nullptr);
}

namespace {

MoveKind kind_of(const Move& move, bool arc) {
  const double dx = std::abs(move.to_mm.x - move.from_mm.x);
  const double dy = std::abs(move.to_mm.y - move.from_mm.y);
  const double dz = std::abs(move.to_mm.z - move.from_mm.z);
  const bool in_plane = arc || dx > nothing_mm || dy > nothing_mm;
  if (move.filament_mm > nothing_mm) return in_plane ? MoveKind::bead : MoveKind::feed;
  if (move.filament_mm < -nothing_mm) return in_plane ? MoveKind::travel : MoveKind::pull;
  return in_plane || dz > nothing_mm ? MoveKind::travel : MoveKind::still;
}

double distance_mm(const Point& a, const Point& b) {
  return std::sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y) + (a.z - b.z) * (a.z - b.z));
}

}  // namespace

void Machine::add_move(const Line& line, Move move, const ArcSolution* arc) {
  ToolState& tool = tools_[settings_.tool];
  tool.fed_mm += move.filament_mm;
  if (tool.fed_mm > tool.highest_fed_mm) {
    move.fresh_mm = tool.fed_mm - tool.highest_fed_mm;
    tool.highest_fed_mm = tool.fed_mm;
  }
  move.owed_mm = tool.highest_fed_mm - tool.fed_mm;
  move.path_mm = arc != nullptr ? arc->path_mm : distance_mm(move.from_mm, move.to_mm);
  move.kind = kind_of(move, arc != nullptr);
  move.feedrate_mm_per_s = state_.feedrate_mm_per_s * state_.speed_factor;
  move.line = line.number;
  move.settings = settings_index();
  move.role = role_;
  move.relative_e = state_.relative_e;
  move.after_stop = stopped_;
  stopped_ = false;
  if (arc != nullptr) {
    move.arc = static_cast<std::int32_t>(pending_.arcs.size());
    pending_.arcs.push_back(arc->arc);
  }
  state_.at_mm = move.to_mm;
  const Arc* shape = arc != nullptr ? &arc->arc : nullptr;
  plan_.add(move, shape, limits_of(move, shape));
  pending_.moves.push_back(move);
  splitter_.number(pending_.moves, pending_.arcs, pending_.moves.size() - 1);
  if (pending_.moves.size() == batch_moves + MotionPlan::look_ahead) hand_out(batch_moves, false);
}

MoveLimits Machine::limits_of(const Move& move, const Arc* arc) const {
  MoveLimits limits;
  limits.corner = file_.corner;
  limits.speed_mm_per_s = move.feedrate_mm_per_s;
  if (setup_.max_speed_mm_per_s > 0) limits.speed_mm_per_s = std::min(limits.speed_mm_per_s, setup_.max_speed_mm_per_s);
  const bool filament_only = move.path_mm <= nothing_mm;
  const bool in_plane = arc != nullptr || std::abs(move.to_mm.x - move.from_mm.x) > nothing_mm ||
                        std::abs(move.to_mm.y - move.from_mm.y) > nothing_mm;
  const auto or_else = [](double said, double otherwise) { return said > 0 ? said : otherwise; };
  double acceleration = 0;
  if (filament_only)
    acceleration = or_else(file_.extruder_mm_per_s2, setup_.extruder_acceleration_mm_per_s2);
  else if (!in_plane)
    acceleration = or_else(file_.travel_mm_per_s2, setup_.z_acceleration_mm_per_s2);
  else if (move.kind == MoveKind::bead)
    acceleration = or_else(file_.print_mm_per_s2, setup_.acceleration_mm_per_s2);
  else
    acceleration = or_else(file_.travel_mm_per_s2, setup_.acceleration_mm_per_s2);
  if (setup_.max_acceleration_mm_per_s2 > 0) acceleration = std::min(acceleration, setup_.max_acceleration_mm_per_s2);

  const double length = filament_only ? std::abs(move.filament_mm) : move.path_mm;
  std::array<double, 4> share{};
  if (length > nothing_mm) {
    share = {std::abs(move.to_mm.x - move.from_mm.x) / length, std::abs(move.to_mm.y - move.from_mm.y) / length,
             std::abs(move.to_mm.z - move.from_mm.z) / length, std::abs(move.filament_mm) / length};
    if (arc != nullptr) share[0] = share[1] = 1;
  }
  for (std::size_t axis = 0; axis < share.size(); ++axis) {
    if (share[axis] <= nothing_mm) continue;
    if (file_.axis_mm_per_s[axis] > 0)
      limits.speed_mm_per_s = std::min(limits.speed_mm_per_s, file_.axis_mm_per_s[axis] / share[axis]);
    if (file_.axis_mm_per_s2[axis] > 0) acceleration = std::min(acceleration, file_.axis_mm_per_s2[axis] / share[axis]);
  }
  limits.acceleration_mm_per_s2 = acceleration;
  return limits;
}

Settings& Machine::change_settings() {
  settings_changed_ = true;
  return settings_;
}

std::uint32_t Machine::settings_index() {
  if (settings_changed_ || pending_.settings.empty()) pending_.settings.push_back(settings_);
  settings_changed_ = false;
  return static_cast<std::uint32_t>(pending_.settings.size() - 1);
}

Event& Machine::event(EventKind kind, const Line& line) {
  if (pending_.events.size() >= most_events) hand_out(splitter_.undecided(pending_.moves), false);
  Event event;
  event.kind = kind;
  event.tool = settings_.tool;
  event.line = line.number;
  event.at_mm = state_.at_mm;
  event.before = static_cast<std::uint32_t>(pending_.moves.size());
  pending_.events.push_back(std::move(event));
  return pending_.events.back();
}

void Machine::stop() { stopped_ = true; }

void Machine::hand_out(std::size_t moves, bool last) {
  if (!last) moves = std::min(moves, splitter_.undecided(pending_.moves));
  if (!last && moves == 0 && !pending_.moves.empty()) {
    splitter_.decide(pending_.moves);
    moves = std::min(batch_moves, pending_.moves.size());
  }
  plan_.release(pending_.moves, moves);
  MoveBatch batch = cut_pending(moves, last);
  set_time(batch);
  if (!batch.moves.empty() || !batch.events.empty()) ready_.push_back(std::move(batch));
}

MoveBatch Machine::cut_pending(std::size_t moves, bool last) {
  // A batch that was given back lends its storage.
  MoveBatch rest = std::move(spare_);
  spare_ = MoveBatch{};
  rest.settings.clear();
  rest.moves.assign(pending_.moves.begin() + static_cast<std::ptrdiff_t>(moves), pending_.moves.end());
  pending_.moves.resize(moves);
  splitter_.forget(moves);

  // Events before the first move that stays: they are complete, and no later one can come before them.
  const bool all = last || rest.moves.empty();
  const auto stays = std::find_if(pending_.events.begin(), pending_.events.end(),
                                  [&](const Event& event) { return !all && event.before > moves; });
  rest.events.assign(std::make_move_iterator(stays), std::make_move_iterator(pending_.events.end()));
  pending_.events.erase(stays, pending_.events.end());
  for (Event& event : rest.events) event.before -= static_cast<std::uint32_t>(moves);

  std::size_t arcs = 0;
  for (const Move& move : pending_.moves) arcs += move.arc >= 0 ? 1 : 0;
  rest.arcs.assign(pending_.arcs.begin() + static_cast<std::ptrdiff_t>(arcs), pending_.arcs.end());
  pending_.arcs.resize(arcs);
  if (!rest.moves.empty()) {
    const std::uint32_t first_settings = rest.moves.front().settings;
    rest.settings.assign(pending_.settings.begin() + first_settings, pending_.settings.end());
    for (Move& move : rest.moves) {
      move.settings -= first_settings;
      if (move.arc >= 0) move.arc -= static_cast<std::int32_t>(arcs);
    }
  } else if (!pending_.settings.empty()) {
    rest.settings.push_back(pending_.settings.back());
  }
  std::swap(rest, pending_);
  return rest;
}

void Machine::set_time(MoveBatch& batch) {
  in_order(
      batch,
      [this](Event& event) {
        event.layer = last_layer_;
        if (event.kind == EventKind::dwell) clock_s_ += event.value;
      },
      [this](Move& move) {
        move.start_s = clock_s_;
        clock_s_ += move.duration_s;
        last_layer_ = move.layer;
      });
}

}  // namespace beadwise
