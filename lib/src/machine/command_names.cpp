#include "machine/command_names.hpp"

#include <algorithm>
#include <array>

#include "base/lower_case.hpp"

namespace beadwise {

namespace {

// Common practice: reports, messages, tuning, lights, sounds, progress; none of them heats, homes or ends a job.
constexpr std::array harmless_m{
    16,  20,  21,  22,  24,  27,  31,  36,  42,  73,  75,  76,  77,  78,  85,  92,  105, 108, 110, 111, 113, 114,
    115, 119, 120, 121, 122, 123, 124, 126, 127, 145, 150, 154, 155, 211, 217, 218, 256, 260, 261, 290, 300, 301,
    302, 304, 305, 309, 355, 400, 412, 413, 414, 415, 420, 421, 425, 486, 500, 501, 502, 503, 504, 540, 550, 555,
    566, 569, 572, 592, 593, 665, 666, 673, 862, 900, 906, 907, 908, 910, 911, 912, 913, 914, 915, 928};

constexpr std::array acting_words{std::string_view{"heat"}, std::string_view{"temp"}, std::string_view{"home"}};

constexpr std::array harmless_words{
    std::string_view{"velocity"},  std::string_view{"limit"},    std::string_view{"object"},
    std::string_view{"stats"},     std::string_view{"info"},     std::string_view{"pressure"},
    std::string_view{"mesh"},      std::string_view{"layer"},    std::string_view{"timelapse"},
    std::string_view{"fan"},       std::string_view{"led"},      std::string_view{"light"},
    std::string_view{"status"},    std::string_view{"skew"},     std::string_view{"shaper"},
    std::string_view{"respond"},   std::string_view{"save"},     std::string_view{"restore"},
    std::string_view{"offset"},    std::string_view{"progress"}, std::string_view{"pattern"},
    std::string_view{"retraction"}};

bool holds(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

}  // namespace

std::string command_name(char letter, int tenths) {
  std::string name = letter + std::to_string(tenths / 10);
  if (tenths % 10 != 0) name += '.' + std::to_string(tenths % 10);
  return name;
}

bool may_act_unseen(char letter, int tenths) {
  if (letter != 'M') return letter == 'G';
  return std::find(harmless_m.begin(), harmless_m.end(), tenths / 10) == harmless_m.end();
}

bool may_act_unseen(std::string_view extended_name) {
  const std::string name = lower_case(std::string(extended_name));
  const auto in_name = [&](std::string_view word) { return holds(name, word); };
  if (std::any_of(acting_words.begin(), acting_words.end(), in_name)) return true;
  return std::none_of(harmless_words.begin(), harmless_words.end(), in_name);
}

KeyMeaning meaning_of_key(std::string_view key_as_written, double value) {
  const std::string key = lower_case(std::string(key_as_written));
  // Set points of things that print; a key with one of these words tells about something else.
  for (const std::string_view other : {"standby", "idle", "max", "min", "offset", "delta", "drop", "cool", "time"})
    if (holds(key, other)) return KeyMeaning::none;
  const bool heat = holds(key, "temp") || holds(key, "heat");
  const bool nozzle = holds(key, "nozzle") || holds(key, "hotend") || holds(key, "hot_end") || holds(key, "extruder");
  const bool bed = holds(key, "bed") || holds(key, "plate");
  // Without a word for heat, only a number that is no diameter, count or index can be a temperature.
  constexpr double least_nozzle_c = 150;
  constexpr double least_bed_c = 30;
  constexpr double most_c = 500;
  if (value > most_c && (heat || nozzle || bed)) return KeyMeaning::none;
  if (holds(key, "chamber") && heat) return KeyMeaning::chamber_c;
  if (bed && (heat || (key.size() <= 5 && value >= least_bed_c))) return KeyMeaning::bed_c;
  if (nozzle && (heat || value >= least_nozzle_c)) return KeyMeaning::nozzle_c;
  if (holds(key, "accel") && !holds(key, "to") && !holds(key, "ratio") && value > 0)
    return KeyMeaning::acceleration_mm_per_s2;
  if (holds(key, "corner") && value > 0) return KeyMeaning::corner_mm_per_s;
  return KeyMeaning::none;
}

}  // namespace beadwise
