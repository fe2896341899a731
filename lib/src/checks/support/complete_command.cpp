#include "checks/support/complete_command.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string>

namespace beadwise::checks {

namespace {

/// `JobSummary::last_text` holds no more; of a longer line the end is not known.
constexpr std::size_t known_bytes = 200;

bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; }

/// Blanks mean nothing between and inside words (NISTIR 6556, section 3.3.1).
std::string without_blanks(std::string_view text) {
  std::string kept;
  for (const char c : text)
    if (c != ' ' && c != '\t' && c != '\r') kept += upper(c);
  return kept;
}

/// XOR of every byte before the `*`, in decimal, as serial lines are protected (common practice).
bool checksum_complete(std::string_view line, std::size_t star) {
  unsigned sum = 0;
  for (const char c : line.substr(0, star)) sum ^= static_cast<unsigned char>(c);
  const std::string digits = without_blanks(line.substr(star + 1));
  unsigned stated = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), stated);
  return error == std::errc() && end == digits.data() + digits.size() && stated == sum;
}

/// The last word of a line, and the command of that line.
struct LineEnd {
  char command_letter = 0;  ///< 'G', 'M', 'T'; 0 for words alone, which repeat a motion
  int command = -1;
  char letter = 0;
  std::string_view value;
  bool readable = true;
};

std::size_t value_length(std::string_view rest) {
  return std::min(rest.size(), rest.find_first_not_of("+-.0123456789"));
}

LineEnd last_word(std::string_view code) {
  LineEnd end;
  while (!code.empty()) {
    end.readable = is_letter(code.front());
    if (!end.readable) return end;
    end.letter = code.front();
    code.remove_prefix(1);
    end.value = code.substr(0, value_length(code));
    code.remove_prefix(end.value.size());
    const bool is_command = end.letter == 'G' || end.letter == 'M' || end.letter == 'T';
    if (!is_command || end.command_letter != 0) continue;
    end.command_letter = end.letter;
    std::from_chars(end.value.data(), end.value.data() + end.value.size(), end.command);
  }
  return end;
}

/// Whether the last word of the line may stand without a number, as the X of `G28 X` or of `M84 X` may.
bool may_be_bare(const LineEnd& end) {
  if (std::string_view("GMTN").find(end.letter) != std::string_view::npos) return false;
  if (end.command_letter == 0) return false;
  if (end.command_letter == 'G') return end.command > 4;
  return std::string_view("SPRF").find(end.letter) == std::string_view::npos;
}

bool words_complete(std::string_view code) {
  const LineEnd end = last_word(code);
  if (!end.readable) return true;
  if (end.value.empty()) return may_be_bare(end);
  return std::any_of(end.value.begin(), end.value.end(), is_digit);
}

}  // namespace

bool reads_complete(std::string_view line) {
  if (line.size() >= known_bytes) return true;
  if (line.find_first_of(";(") != std::string_view::npos) return true;
  const std::string packed = without_blanks(line);
  if (packed.empty() || !is_letter(packed.front())) return true;
  if (packed.rfind("M117", 0) == 0 || packed.rfind("M118", 0) == 0) return true;
  const std::size_t star = line.rfind('*');
  if (star != std::string_view::npos) return checksum_complete(line, star);
  const bool has_name = packed.size() > 1 && (is_letter(packed[1]) || packed[1] == '_');
  if (has_name) return packed.back() != '=';
  return words_complete(packed);
}

bool may_be_half_a_command(std::string_view line) {
  const std::string packed = without_blanks(line);
  // Common practice: heaters, fans and motors off, modes, homing, the end of the program.
  constexpr std::array<std::string_view, 16> of_ends{"G10", "G28", "G90",  "G91",  "G92",  "M18",  "M30",  "M82",
                                                     "M83", "M84", "M104", "M106", "M107", "M109", "M140", "M400"};
  return packed.size() > 1 && std::any_of(of_ends.begin(), of_ends.end(), [&](std::string_view whole) {
           return whole.size() > packed.size() && whole.starts_with(packed);
         });
}

std::uint64_t cut_line(const JobSummary& job) {
  if (!job.ends_inside_line || job.last_text_line != job.figures.lines) return 0;
  return reads_complete(job.last_text) ? 0 : job.last_text_line;
}

}  // namespace beadwise::checks
