#include "support/plain_reader.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <optional>

#include "gcode/parse_block.hpp"
#include "text/block_reader.hpp"

namespace beadwise::tests {

namespace {

bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c; }
bool is_name_character(char c) { return is_letter(c) || is_digit(c) || c == '_' || c == '.'; }
bool is_one_of(char c, std::string_view characters) { return characters.find(c) != std::string_view::npos; }
std::uint32_t bit_of(char letter) { return 1U << (letter - 'A'); }

/// docs/reading.md, "Messages and text".
bool is_message(long code) {
  constexpr std::array<long, 18> codes{16,  23,  28,  32,  33,  38,  117, 118, 540,
                                       550, 551, 552, 553, 554, 587, 588, 589, 928};
  return std::find(codes.begin(), codes.end(), code) != codes.end();
}
bool is_message_with_text(long code) { return code == 30 || code == 36 || code == 115; }
bool has_packed_data(long code) { return code == 624 || code == 625; }
bool may_say_why(long code) { return code == 0 || code == 1; }
bool is_plain_code(long code) { return !is_message(code) && !is_message_with_text(code) && !has_packed_data(code); }

/// A place in a line and what can be seen from it.
struct Text {
  const char* at;
  const char* end;

  bool done() const { return at == end; }
  char here() const { return at == end ? '\0' : *at; }
  bool is(char c) const { return at != end && *at == c; }
  bool is_one_of(std::string_view characters) const { return at != end && tests::is_one_of(*at, characters); }
  bool letter() const { return at != end && is_letter(*at); }
  bool digit() const { return at != end && is_digit(*at); }
  std::size_t blank_bytes() const {
    if (at == end) return 0;
    if (*at == ' ' || *at == '\t') return 1;
    return *at == '\xC2' && end - at > 1 && at[1] == '\xA0' ? 2 : 0;
  }
  bool blank() const { return blank_bytes() > 0; }
  Text without_blanks() const {
    Text rest = *this;
    while (const std::size_t bytes = rest.blank_bytes()) rest.at += bytes;
    return rest;
  }
  Text after(std::size_t bytes) const { return {at + bytes, end}; }
  Text at_place(const char* place) const { return {place, end}; }
  std::string_view up_to(const char* place) const { return {at, static_cast<std::size_t>(place - at)}; }
  bool nothing_or_comment() const { return done() || is_one_of(";("); }
};

std::string_view trimmed(std::string_view text) {
  Text rest{text.data(), text.data() + text.size()};
  rest = rest.without_blanks();
  while (!rest.done()) {
    const auto left = rest.end - rest.at;
    if (rest.end[-1] == ' ' || rest.end[-1] == '\t')
      --rest.end;
    else if (left > 1 && rest.end[-2] == '\xC2' && rest.end[-1] == '\xA0')
      rest.end -= 2;
    else
      break;
  }
  return rest.up_to(rest.end);
}

struct Number {
  const char* end;
  double value;
};

/// Digits with blanks between them go through a buffer without them.
std::optional<Number> number_at(Text text) {
  std::string digits;
  if (text.is_one_of("+-")) {
    if (text.is('-')) digits += '-';
    ++text.at;
  }
  const std::size_t sign = digits.size();
  bool point = false;
  int decimals = 0;
  const char* number_end = text.at;
  for (text = text.without_blanks(); text.digit() || (text.is('.') && !point); text = text.without_blanks()) {
    point = point || text.is('.');
    if (point && text.digit()) ++decimals;
    digits += *text.at++;
    number_end = text.at;
  }
  if (digits.size() == sign + (point ? 1U : 0U)) return std::nullopt;
  // After seven decimals E is an exponent, unless its digits have a point.
  if (decimals >= 7) {
    Text exponent = text.at_place(number_end);
    if (exponent.is_one_of("eE")) {
      std::string power = "e";
      ++exponent.at;
      if (exponent.is_one_of("+-")) power += *exponent.at++;
      const bool any = exponent.digit();
      while (exponent.digit()) power += *exponent.at++;
      if (any && !exponent.is('.')) {
        digits += power;
        number_end = exponent.at;
      }
    }
  }
  const double value = std::strtod(digits.c_str(), nullptr);
  if (!std::isfinite(value)) return std::nullopt;
  return Number{number_end, value};
}

/// Reads one line with all its exceptions.
class CarefulLine {
 public:
  CarefulLine(Line& line, std::vector<Word>& words) : line_(line), words_(words), first_word_(words.size()) {}

  void read();

 private:
  bool read_text_command(Text text);
  bool read_extended(Text text);
  void read_arguments(Text text, LineForm form);
  void read_items(Text text);
  Text read_item(Text text);
  Text comment(Text text);
  void checksum(const char* star, Text digits);
  std::optional<Text> after_checksum(Text text) const;
  std::optional<Text> after_group(Text text);
  std::optional<Text> after_quoted(Text text) const;
  std::optional<Text> after_parameter(Text text);
  std::optional<Text> after_expression(Text text);
  std::optional<Text> after_setting(Text text);
  std::optional<Text> after_no_value(Text text);
  std::optional<Text> after_glued_axes(Text text);
  Text after_run(Text text, bool at_letter, bool at_group) const;
  void word(const char* at, double value);
  void bare(const char* at);
  void no_value(const char* at);
  void stray(std::string_view text);
  void push(const char* at, double value, bool has_value);
  void decide();
  std::size_t word_count() const { return words_.size() - first_word_; }

  Line& line_;
  std::vector<Word>& words_;
  std::size_t first_word_;
  std::uint32_t seen_ = 0;  // letters, but for G and M
  char first_code_ = 0;
  bool trouble_ = false;
  bool lost_command_ = false;
  bool any_value_ = false;
  bool any_stray_ = false;
  bool stray_first_ = false;
  bool prose_first_ = false;
  bool open_square_ = false;
  bool open_curly_ = false;
};

void CarefulLine::read() {
  Text text{line_.text.data(), line_.text.data() + line_.text.size()};
  text = text.without_blanks();
  if (text.is_one_of("Nn")) {
    Text number = text.after(1).without_blanks();
    if (number.is('-')) ++number.at;
    if (number.digit()) {
      while (number.digit()) ++number.at;
      text = number.without_blanks();
    }
  }
  if (text.is('/')) return;
  if (read_text_command(text)) return;
  if (text.is('%')) {
    Text rest = text.after(1).without_blanks();
    while (rest.is_one_of(";(")) rest = comment(rest).without_blanks();
    if (rest.done()) return;
    line_.comment = {};
  }
  if (read_extended(text)) return;
  read_items(text);
  decide();
}

// Messages, and M codes whose argument is a name, packed data or a sentence.
bool CarefulLine::read_text_command(Text text) {
  if (!text.is_one_of("Mm")) return false;
  const char* const letter = text.at;
  text = text.after(1).without_blanks();
  const char* const digits = text.at;
  long code = 0;
  while (text.digit() && text.at - digits < 6) code = code * 10 + (*text.at++ - '0');
  if (text.at == digits || text.at - digits > 5 || text.is('.')) return false;
  const Text behind = text.without_blanks();
  const bool no_text = behind.nothing_or_comment() || behind.is('*');
  if (is_message(code) || (is_message_with_text(code) && !no_text)) {
    const char* const semicolon = std::find(text.at, text.end, ';');
    line_.form = LineForm::message;
    line_.arguments = trimmed(text.up_to(semicolon));
    push(letter, static_cast<double>(code), true);
    if (semicolon != text.end) line_.comment = text.at_place(semicolon).after(1).up_to(text.end);
    return true;
  }
  if (no_text || !text.blank()) return false;
  bool is_text = has_packed_data(code);
  if (behind.letter() && behind.after(1).letter()) {
    Text name = behind;
    while (name.letter() || name.digit()) ++name.at;
    is_text = is_text || may_say_why(code) || name.is_one_of("_=+/");
  }
  if (!is_text) return false;
  push(letter, static_cast<double>(code), true);
  read_arguments(text, LineForm::words);
  return true;
}

bool CarefulLine::read_extended(Text text) {
  const Text start = text;
  if (text.is('@')) {
    ++text.at;
    while (!text.done() && !text.blank() && !text.is(';')) ++text.at;
    if (text.at == start.at + 1) return false;
    line_.name = start.after(1).up_to(text.at);
    read_arguments(text, LineForm::extended);
    return true;
  }
  while (!text.done() && is_name_character(*text.at)) ++text.at;
  const std::string_view name = start.up_to(text.at);
  if (name.size() < 2 || (!is_letter(name[0]) && name[0] != '_')) return false;
  const Text behind = text.without_blanks();
  bool named = name.find('_') != std::string_view::npos && (text.nothing_or_comment() || text.blank() || text.is('*'));
  const bool like_a_command = is_one_of(upper(name[0]), "GMNT") && std::any_of(name.begin(), name.end(), is_digit);
  if (!named && !like_a_command && is_letter(name[0]) && is_letter(name[1])) {
    Text key = behind;
    while (!key.done() && is_name_character(*key.at)) ++key.at;
    const bool key_follows = key.at != behind.at && (behind.letter() || behind.is('_')) && key.is('=');
    named = behind.nothing_or_comment() || behind.is('*') || key_follows;
  }
  if (!named) return false;
  line_.name = name;
  read_arguments(text, LineForm::extended);
  return true;
}

// To a comment or a checksum; `;` in quotes and a bracket that follows no blank belong to the argument.
void CarefulLine::read_arguments(Text text, LineForm form) {
  const Text start = text;
  while (!text.done()) {
    if (const auto quoted = after_quoted(text)) {
      text = *quoted;
      continue;
    }
    if (text.is(';') || (text.is_one_of(" \t") && text.after(1).is('(')) || after_checksum(text)) break;
    ++text.at;
  }
  line_.form = form;
  line_.arguments = trimmed(start.up_to(text.at));
  text = text.without_blanks();
  if (const auto behind = after_checksum(text)) {
    checksum(text.at, {text.at, behind->at});
    text = behind->without_blanks();
  }
  if (text.is_one_of(";(")) comment(text);
}

void CarefulLine::read_items(Text text) {
  for (text = text.without_blanks(); !text.done(); text = text.without_blanks()) text = read_item(text);
}

Text CarefulLine::read_item(Text text) {
  if (text.is_one_of(";(")) return comment(text);
  if (const auto behind = after_checksum(text)) {
    checksum(text.at, {text.at, behind->at});
    return *behind;
  }
  if (text.letter()) {
    const auto number = number_at(text.after(1).without_blanks());
    if (number) {
      const Text behind = text.at_place(number->end);
      if (!behind.is('.') && !(behind.is(',') && behind.after(1).digit())) {
        word(text.at, number->value);
        return behind;
      }
    }
    if (const auto behind = after_no_value(text)) {
      no_value(text.at);
      return *behind;
    }
    const Text next = text.after(1);
    if (next.blank() || next.nothing_or_comment() || next.is('*')) {
      bare(text.at);
      return next;
    }
    if (const auto behind = after_glued_axes(text)) return *behind;
  }
  if (const auto behind = after_setting(text)) {
    any_stray_ = trouble_ = true;
    return *behind;
  }
  auto behind = after_group(text);
  if (!behind) behind = after_quoted(text);
  if (!behind) behind = after_run(text, !(text.letter() || text.is('_')), false);
  stray(text.up_to(behind->at));
  return *behind;
}

Text CarefulLine::comment(Text text) {
  const bool round = text.is('(');
  const Text inside = text.after(1);
  const char* const closing = round ? std::find(inside.at, inside.end, ')') : inside.end;
  if (line_.comment.data() == nullptr) line_.comment = inside.up_to(closing);
  return text.at_place(closing == text.end ? closing : closing + 1);
}

std::optional<Text> CarefulLine::after_checksum(Text text) const {
  if (!text.is('*')) return std::nullopt;
  text = text.after(1).without_blanks();
  if (!text.digit()) return std::nullopt;
  while (text.digit()) ++text.at;
  if (!text.without_blanks().nothing_or_comment()) return std::nullopt;
  return text;
}

void CarefulLine::checksum(const char* star, Text digits) {
  unsigned char sum = 0;
  for (const char* at = line_.text.data(); at != star; ++at) sum ^= static_cast<unsigned char>(*at);
  unsigned long written = 0;
  for (; !digits.done(); ++digits.at)
    if (digits.digit()) written = std::min(written * 10 + static_cast<unsigned long>(*digits.at - '0'), 1000UL);
  line_.checksum = written == sum ? Checksum::right : Checksum::wrong;
}

std::optional<Text> CarefulLine::after_group(Text text) {
  if (!text.is_one_of("[{")) return std::nullopt;
  const char open = *text.at;
  const char close = open == '[' ? ']' : '}';
  bool& left_open = open == '[' ? open_square_ : open_curly_;
  if (left_open) return std::nullopt;
  int depth = 0;
  for (; !text.done() && !text.is(';'); ++text.at) {
    if (text.is(open)) ++depth;
    if (text.is(close) && --depth == 0) return text.after(1);
  }
  left_open = true;
  return std::nullopt;
}

std::optional<Text> CarefulLine::after_quoted(Text text) const {
  const char* end = nullptr;
  while (text.is('"')) {
    const char* const closing = std::find(text.at + 1, text.end, '"');
    if (closing == text.end) break;
    end = text.at = closing + 1;
  }
  if (end == nullptr) return std::nullopt;
  return text.at_place(end);
}

std::optional<Text> CarefulLine::after_parameter(Text text) {
  if (!text.is('#')) return std::nullopt;
  while (text.is('#')) ++text.at;
  text = text.without_blanks();
  if (!text.digit()) return after_group(text);
  while (text.digit()) ++text.at;
  return text;
}

std::optional<Text> CarefulLine::after_expression(Text text) {
  for (const std::string_view name :
       {"atan", "abs", "acos", "asin", "cos", "exp", "fix", "fup", "ln", "round", "sin", "sqrt", "tan"}) {
    const auto same = [](char in_name, char in_text) { return is_letter(in_text) && (in_text | 32) == in_name; };
    const auto left = static_cast<std::size_t>(text.end - text.at);
    if (left < name.size() || !std::equal(name.begin(), name.end(), text.at, same)) continue;
    text.at += name.size();
    break;
  }
  const auto group = after_group(text.without_blanks());
  if (!group) return std::nullopt;
  const Text slash = group->without_blanks();
  if (!slash.is('/')) return group;
  const auto second = after_group(slash.after(1).without_blanks());
  return second ? second : group;
}

std::optional<Text> CarefulLine::after_setting(Text text) {
  const auto parameter = after_parameter(text);
  if (!parameter) return std::nullopt;
  const Text equals = parameter->without_blanks();
  if (!equals.is('=')) return std::nullopt;
  const Text value = equals.after(1).without_blanks();
  if (const auto number = number_at(value)) return value.at_place(number->end);
  if (const auto other = after_parameter(value)) return other;
  return after_expression(value);
}

// A letter with a value that is no number, to the end of that value.
std::optional<Text> CarefulLine::after_no_value(Text text) {
  text = text.after(1).without_blanks();
  if (const auto parameter = after_parameter(text)) return parameter;
  if (const auto expression = after_expression(text)) return expression;
  if (const auto quoted = after_quoted(text)) return quoted;
  for (const std::string_view none : {"nan", "infinity", "inf"}) {
    Text rest = text;
    std::size_t matched = 0;
    while (matched < none.size() && rest.letter() && (*rest.at | 32) == none[matched]) {
      ++matched;
      ++rest.at;
    }
    if (matched == none.size() && !rest.letter()) return rest;
  }
  if (text.done() || text.letter() || text.is_one_of("*;(")) return std::nullopt;
  text = after_run(text, false, true);
  if (const auto group = after_group(text)) return group;
  if (const auto quoted = after_quoted(text)) return quoted;
  return text;
}

std::optional<Text> CarefulLine::after_glued_axes(Text text) {
  const Text start = text;
  for (; text.letter(); ++text.at)
    if (!tests::is_one_of(upper(*text.at), "XYZEABCUVW")) return std::nullopt;
  if (text.at - start.at < 2 || word_count() == 0 || text.is('_')) return std::nullopt;
  if (number_at(text.without_blanks())) --text.at;
  for (const char* letter = start.at; letter != text.at; ++letter) bare(letter);
  return text;
}

Text CarefulLine::after_run(Text text, bool at_letter, bool at_group) const {
  for (bool first = true; !text.done(); ++text.at, first = false) {
    if (text.is_one_of(";(") || text.blank()) break;
    if (first) continue;
    if (text.is('*') || (at_letter && text.letter()) || (at_group && text.is_one_of("[{\""))) break;
  }
  return text;
}

void CarefulLine::word(const char* at, double value) {
  const char letter = upper(*at);
  if (letter == 'N') return;
  if (letter == 'G' || letter == 'M') {
    if (first_code_ == 0) first_code_ = letter;
    const double tenths = std::nearbyint(value * 10);
    if (value < 0 || std::fabs(value * 10 - tenths) > 0.0001 + 1e-9) {
      lost_command_ = trouble_ = true;
      return;
    }
    value = tenths / 10;
  } else if ((seen_ & bit_of(letter)) != 0) {
    trouble_ = true;
    return;
  }
  seen_ |= bit_of(letter);
  any_value_ = true;
  push(at, value, true);
}

void CarefulLine::bare(const char* at) {
  const char letter = upper(*at);
  if ((letter == 'G' || letter == 'M') && first_code_ == 'M') return;
  if (is_one_of(letter, "GMT") && first_code_ != 'M') {
    lost_command_ = trouble_ = true;
  } else if (letter == 'N' || (seen_ & bit_of(letter)) != 0) {
    trouble_ = true;
  } else {
    seen_ |= bit_of(letter);
    push(at, 0, false);
  }
}

void CarefulLine::no_value(const char* at) {
  const char letter = upper(*at);
  lost_command_ = lost_command_ || is_one_of(letter, "GMT");
  seen_ |= bit_of(letter);
  trouble_ = true;
}

void CarefulLine::stray(std::string_view text) {
  const bool first = word_count() == 0 && !trouble_;
  stray_first_ = stray_first_ || first;
  prose_first_ = prose_first_ || (first && (is_letter(text[0]) || text[0] == '_'));
  const auto behind_letters = std::find_if_not(text.begin(), text.end(), is_letter);
  if (is_one_of(upper(text[0]), "GMT") && behind_letters != text.end() && is_digit(*behind_letters))
    lost_command_ = true;
  any_stray_ = trouble_ = true;
}

void CarefulLine::push(const char* at, double value, bool has_value) {
  trouble_ = trouble_ || word_count() == max_words_per_line;
  if (word_count() == max_words_per_line) return;
  words_.push_back({.value = value,
                    .column = static_cast<std::uint32_t>(at - line_.text.data() + 1),
                    .letter = upper(*at),
                    .has_value = has_value});
}

void CarefulLine::decide() {
  const bool command = first_code_ != 0 || (seen_ & bit_of('T')) != 0;
  const bool prose = prose_first_ || (stray_first_ && !command) || (any_stray_ && !any_value_);
  if (lost_command_ || prose) {
    words_.resize(first_word_);
    line_.form = LineForm::unread;
  } else if (word_count() > 0 || trouble_) {
    line_.form = LineForm::words;
  }
}

/// Reads a line that is nothing but words with short numbers, each letter once, and a comment behind them, as nearly
/// all lines are. False where it is more than that.
bool read_ordinary_line(Line& line, std::vector<Word>& words) {
  static constexpr double powers[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6};
  const char* const begin = line.text.data();
  const char* const end = begin + line.text.size();
  std::uint32_t seen = 0;
  for (const char* at = begin; at != end;) {
    if (*at == ' ') {
      ++at;
      continue;
    }
    if (*at == ';') {
      line.comment = {at + 1, static_cast<std::size_t>(end - at - 1)};
      break;
    }
    const char letter = upper(*at);
    if (letter < 'A' || letter > 'Z' || letter == 'N' || (seen & bit_of(letter)) != 0) return false;
    seen |= bit_of(letter);
    const char* const start = at++;
    const bool negative = at != end && *at == '-';
    if (negative) ++at;
    const char* const first = at;
    unsigned long digits = 0;
    while (at != end && is_digit(*at)) digits = digits * 10 + static_cast<unsigned long>(*at++ - '0');
    const char* point = at;
    if (at != end && *at == '.') {
      while (++at != end && is_digit(*at)) digits = digits * 10 + static_cast<unsigned long>(*at - '0');
      if (letter == 'G' || letter == 'M') return false;
    }
    const long decimals = at == point ? 0 : at - point - 1;
    if (point - first + decimals == 0 || point - first + decimals > 15 || decimals > 6) return false;
    // What follows decides where the number ends.
    if (at != end &&
        !(*at == ';' || is_letter(*at) || (*at == ' ' && at + 1 != end && (at[1] == ';' || is_letter(at[1])))))
      return false;
    if ((letter == 'G' || letter == 'M') && negative) return false;
    if (letter == 'M' && !is_plain_code(static_cast<long>(digits))) return false;
    const double magnitude = static_cast<double>(static_cast<long>(digits)) / powers[decimals];
    words.push_back({.value = negative ? -magnitude : magnitude,
                     .column = static_cast<std::uint32_t>(start - begin + 1),
                     .letter = letter,
                     .has_value = true});
  }
  if (seen != 0) line.form = LineForm::words;
  return true;
}

}  // namespace

void PlainReader::read(std::string_view bytes) {
  lines_.clear();
  words_.clear();
  const char* const end = bytes.data() + bytes.size();
  const auto next = [end](const char* from, char wanted) {
    const void* const found = std::memchr(from, wanted, static_cast<std::size_t>(end - from));
    return found == nullptr ? end : static_cast<const char*>(found);
  };
  const char* lf = next(bytes.data(), '\n');
  const char* cr = next(bytes.data(), '\r');
  for (const char* at = bytes.data(); at != end;) {
    if (lf < at) lf = next(at, '\n');
    if (cr < at) cr = next(at, '\r');
    const char* const line_end = std::min(lf, cr);
    Record& record = lines_.emplace_back();
    record.line.number = lines_.size();
    record.line.offset = static_cast<std::uint64_t>(at - bytes.data());
    record.line.text = {at, static_cast<std::size_t>(line_end - at)};
    record.first_word = words_.size();
    if (!read_ordinary_line(record.line, words_)) {
      words_.resize(record.first_word);
      record.line.comment = {};
      CarefulLine(record.line, words_).read();
    }
    record.word_count = words_.size() - record.first_word;
    at = line_end;
    if (at != end && *at++ == '\r' && at != end && *at == '\n') ++at;
  }
}

Line PlainReader::line(std::size_t index) const {
  Line line = lines_[index].line;
  line.words = {words_.data() + lines_[index].first_word, lines_[index].word_count};
  return line;
}

namespace {

std::string shown(const Line& line) {
  static constexpr std::string_view forms[] = {"blank", "words", "message", "extended", "unread"};
  static constexpr std::string_view sums[] = {"", " *right", " *wrong"};
  std::string text(forms[static_cast<std::size_t>(line.form)]);
  for (const Word& word : line.words) {
    char figure[64];
    std::snprintf(figure, sizeof figure, " %c%.17g@%u", word.letter, word.value, word.column);
    text += word.has_value ? std::string(figure) : std::string(" ") + word.letter;
  }
  text += sums[static_cast<std::size_t>(line.checksum)];
  text += " name<" + std::string(line.name) + "> text<" + std::string(line.arguments) + '>';
  if (line.comment.data() != nullptr) text += " ;<" + std::string(line.comment) + '>';
  return text;
}

bool same_word(const Word& a, const Word& b) {
  return a.letter == b.letter && a.has_value == b.has_value && a.column == b.column && a.value == b.value;
}

bool same(const Line& a, const Line& b) {
  return a.number == b.number && a.text == b.text && a.form == b.form && a.checksum == b.checksum &&
         a.comment == b.comment && (a.comment.data() == nullptr) == (b.comment.data() == nullptr) && a.name == b.name &&
         a.arguments == b.arguments &&
         std::equal(a.words.begin(), a.words.end(), b.words.begin(), b.words.end(), same_word);
}

}  // namespace

std::string reads_otherwise(std::string_view job, std::size_t block_bytes) {
  BlockReader blocks(Source::memory("job", std::string(job)), block_bytes);
  if (job.starts_with("\xEF\xBB\xBF")) job.remove_prefix(3);
  PlainReader plain;
  plain.read(job);
  Block block;
  ParsedBlock parsed;
  std::size_t index = 0;
  while (blocks.next(block)) {
    parse_block(block, parsed);
    for (std::size_t i = 0; i < parsed.size(); ++i, ++index) {
      if (index >= plain.size()) return "the grammar reads more lines than the plain reader";
      if (same(parsed.line(i), plain.line(index))) continue;
      return "line " + std::to_string(index + 1) + " \"" + std::string(parsed.line(i).text) + "\": the grammar reads " +
             shown(parsed.line(i)) + ", the plain reader " + shown(plain.line(index));
    }
  }
  return index == plain.size() ? "" : "the grammar reads fewer lines than the plain reader";
}

}  // namespace beadwise::tests
