#include "property/filament_ledger.hpp"

#include <cctype>
#include <cmath>
#include <cstdlib>
#include <map>

namespace beadwise::tests {

namespace {

constexpr double least_motion_mm = 1e-9;
constexpr double mm_per_inch = 25.4;

using Words = std::map<char, double>;

std::string code_of(const std::string& line) {
  std::string code;
  int depth = 0;
  for (const char byte : line) {
    if (byte == ';' && depth == 0) break;
    if (byte == '(') depth = 1;
    if (depth == 0 && byte != ' ' && byte != '\t' && byte != '\r')
      code += static_cast<char>(std::toupper(static_cast<unsigned char>(byte)));
    if (byte == ')') depth = 0;
  }
  return code.substr(0, code.find('*'));
}

/// Nothing where a letter has no plain number or stands twice.
std::optional<Words> words_of(const std::string& code) {
  Words words;
  for (std::size_t at = 0; at < code.size();) {
    const char letter = code[at++];
    const std::size_t end = code.find_first_not_of("0123456789.+-", at);
    const std::string number = code.substr(at, end == std::string::npos ? end : end - at);
    const bool plain = std::isalpha(static_cast<unsigned char>(letter)) != 0 && !number.empty() &&
                       number.find_first_of("0123456789") != std::string::npos && number.find_last_of("+-") + 1 <= 1;
    if (!plain || words.count(letter) != 0) return std::nullopt;
    words[letter] = std::atof(number.c_str());
    at += number.size();
  }
  return words;
}

class Ledger {
 public:
  /// Of M commands the number alone matters here, whatever else stands on the line. False for one that this reader does
  /// not know how to follow.
  bool machine_command(int number) {
    if (number == 82) relative_e_ = e_said_relative_ = false;
    if (number == 83) relative_e_ = e_said_relative_ = true;
    return number != 200 && number != 221 && number != 101 && number != 103 && number != 600;
  }

  /// False for what this reader does not know.
  bool read(const Words& words) {
    if (words.count('T') != 0) return words.at('T') == 0 && words.size() == 1;
    if (words.count('G') != 0 && words.at('G') != std::floor(words.at('G'))) return true;  // G29.1 and the like
    if (words.count('G') != 0) return motion_command(static_cast<int>(words.at('G')), words);
    const bool axes = words.count('X') + words.count('Y') + words.count('Z') + words.count('E') > 0;
    if (axes && mode_ >= 0) motion(words);
    return true;
  }

  const FilamentLedger& result() const { return ledger_; }

 private:
  bool motion_command(int number, const Words& words) {
    if (number >= 0 && number <= 3) {
      mode_ = number;
      motion(words);
    }
    if (number == 20) unit_mm_ = mm_per_inch;
    if (number == 21) unit_mm_ = 1;
    if (number == 90) relative_ = false, relative_e_ = e_said_relative_;
    if (number == 91) relative_ = relative_e_ = true;
    if (number == 92) set_origin(words);
    if (number == 28) home(words);
    return number != 10 && number != 11 && number != 53;
  }

  void set_origin(const Words& words) {
    bool any = false;
    for (const char axis : {'X', 'Y', 'Z', 'E'}) {
      if (words.count(axis) == 0) continue;
      any = true;
      at_[axis] = words.at(axis) * unit_mm_;
    }
    if (!any) at_.clear();
  }

  void home(const Words& words) {
    const bool named = words.count('X') + words.count('Y') + words.count('Z') > 0;
    for (const char axis : {'X', 'Y', 'Z'}) {
      if (!named || words.count(axis) != 0) at_[axis] = 0;
    }
  }

  double travelled(char axis, const Words& words) {
    if (words.count(axis) == 0) return 0;
    const bool relative = axis == 'E' ? relative_e_ : relative_;
    const double before = at_[axis];
    at_[axis] = words.at(axis) * unit_mm_ + (relative ? before : 0);
    return at_[axis] - before;
  }

  void motion(const Words& words) {
    const double in_plane = std::fabs(travelled('X', words)) + std::fabs(travelled('Y', words));
    travelled('Z', words);
    const double fed = travelled('E', words);
    filament_mm_ += fed;
    if (filament_mm_ > ledger_.highest_fed_mm) ledger_.highest_fed_mm = filament_mm_;
    if (fed <= least_motion_mm) return;
    ledger_.forward_mm += fed;
    const bool bead = in_plane > least_motion_mm || mode_ >= 2;
    (bead ? ledger_.in_beads_mm : ledger_.standing_mm) += fed;
  }

  FilamentLedger ledger_;
  std::map<char, double> at_;
  double filament_mm_ = 0;
  double unit_mm_ = 1;
  int mode_ = -1;
  bool relative_ = false;
  bool relative_e_ = false;
  bool e_said_relative_ = false;
};

/// A command by name, alone or with `KEY=VALUE`: not followed by the library either, only counted.
bool is_named(const std::string& code) {
  const bool two_letters = code.size() > 1 && std::isalpha(static_cast<unsigned char>(code[1])) != 0;
  const bool alone = code.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ_") == std::string::npos;
  return two_letters && (alone || code.find('=') != std::string::npos);
}

bool read_line(Ledger& ledger, const std::string& code) {
  if (is_named(code)) return true;
  if (code == "M221S100") return true;
  if (code[0] == 'M') return ledger.machine_command(std::atoi(code.c_str() + 1));
  const std::optional<Words> words = words_of(code);
  return words && ledger.read(*words);
}

}  // namespace

std::optional<FilamentLedger> reckon_filament(const std::string& gcode) {
  Ledger ledger;
  for (std::size_t at = 0; at < gcode.size();) {
    const std::size_t end = gcode.find_first_of("\r\n", at);
    std::string code = code_of(gcode.substr(at, end == std::string::npos ? end : end - at));
    at = end == std::string::npos ? gcode.size() : end + 1;
    if (!code.empty() && code[0] == 'N') code.erase(0, code.find_first_not_of("0123456789", 1));
    if (code.empty() || code[0] == '%' || code[0] == '/') continue;
    if (!read_line(ledger, code)) return std::nullopt;
  }
  return ledger.result();
}

}  // namespace beadwise::tests
