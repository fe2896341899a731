#include "gcode/parse_block.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "gcode/grammar.hpp"
#include "text/line_ends.hpp"

namespace beadwise {

namespace {

// M codes as in common use. Messages: names of files (16, 23, 28, 32, 33, 38, 928), text (117, 118), network names and
// addresses (540, 550 to 554, 587 to 589).
constexpr std::array<int, 18> message_codes = {16,  23,  28,  32,  33,  38,  117, 118, 540,
                                               550, 551, 552, 553, 554, 587, 588, 589, 928};

// End of the program or the name of a file; file in print; version.
constexpr std::array<int, 3> codes_of_messages_with_text = {30, 36, 115};

// Marks of objects, packed as text.
constexpr std::array<int, 2> codes_with_packed_data = {624, 625};

// Stops that may say why.
constexpr std::array<int, 2> codes_with_sentence = {0, 1};

constexpr std::size_t max_troubles_per_line = 16;

constexpr std::uint32_t bit_of(char letter) { return 1U << (letter - 'A'); }

char upper_case(char letter) { return static_cast<char>(letter & ~('a' - 'A')); }

std::uint32_t clamped(std::ptrdiff_t bytes) {
  constexpr std::ptrdiff_t most = std::numeric_limits<std::uint32_t>::max();
  return static_cast<std::uint32_t>(std::min(bytes, most));
}

std::string_view without_outer_blanks(std::string_view text) {
  const char* const first = grammar::skip_blanks(text.data(), text.data() + text.size());
  text.remove_prefix(static_cast<std::size_t>(first - text.data()));
  while (true) {
    if (text.ends_with(' ') || text.ends_with('\t')) {
      text.remove_suffix(1);
    } else if (text.ends_with("\xC2\xA0")) {
      text.remove_suffix(2);
    } else {
      return text;
    }
  }
}

// Codes count in tenths and hold within 0.0001 of one (NISTIR 6556, section 3.3.2.1). False for any other number.
bool snap_code(double& code) {
  const double tenths = code * 10;
  const double whole = std::nearbyint(tenths);
  constexpr double tolerance = 0.0001 + 1e-9;  // 1e-9: what doubles make of a difference of exactly 0.0001
  if (!(code >= 0) || std::abs(tenths - whole) > tolerance) return false;
  code = whole / 10;
  return true;
}

bool is_code_letter(char letter) { return letter == 'G' || letter == 'M' || letter == 'T'; }

// Whether glued letters were meant as a command, as in `GOX100`, and are no prose.
bool is_like_a_command(std::string_view text) {
  if (!is_code_letter(upper_case(text.front()))) return false;
  const auto after_letters = std::ranges::find_if_not(text, grammar::is_letter);
  return after_letters != text.end() && grammar::is_digit(*after_letters);
}

// Whether letters that stand alone were meant as a command, its digits written as the letters that look like them:
// `GO`.
bool is_misspelt_command(std::string_view text) {
  constexpr std::string_view like_digits = "OIL";
  if (text.size() < 2 || text.size() > 3 || !is_code_letter(upper_case(text.front()))) return false;
  return std::ranges::all_of(text.substr(1),
                             [&](char c) { return like_digits.find(upper_case(c)) != like_digits.npos; });
}

const char* end_of(std::string_view text) { return text.data() + text.size(); }

// What the grammar finds in one line, gathered into the arrays of a block.
class LineSink {
 public:
  LineSink(Line& line, Word* words, std::vector<Trouble>& troubles)
      : line_(line), first_(line.text.data()), words_(words), troubles_(troubles), first_trouble_(troubles.size()) {}

  void word(const char* at, const char* end, double value) {
    const char letter = upper_case(*at);
    const std::uint32_t bit = bit_of(letter);
    found_.code_end = end;
    if ((found_.special_letters & bit) != 0 && !special_word(letter, at, end, value)) return;
    found_.special_letters |= bit;
    found_.value = true;
    push(letter, at, end, value, true);
  }

  void bare_letter(const char* at) {
    const char letter = upper_case(*at);
    found_.code_end = at + 1;
    if ((letter == 'G' || letter == 'M') && found_.first_code == 'M') return;  // a flag of the M code: `M620 M`
    if (is_code_letter(letter) && found_.first_code != 'M') {
      found_.unreadable_command = true;
      trouble(TroubleKind::word, at, at + 1);
    } else if (letter == 'N') {
      trouble(TroubleKind::stray_text, at, at + 1);
    } else if ((found_.special_letters & bit_of(letter)) != 0) {
      trouble(TroubleKind::repeated_word, at, at + 1);
    } else {
      found_.special_letters |= bit_of(letter);
      push(letter, at, at + 1, 0, false);
    }
  }

  void unreadable(std::string_view text) {
    const char letter = upper_case(text.front());
    found_.unreadable_command = found_.unreadable_command || is_code_letter(letter);
    found_.special_letters |= bit_of(letter);
    found_.code_end = end_of(text);
    trouble(TroubleKind::word, text.data(), end_of(text));
  }

  void setting(std::string_view text) {
    ++found_.strays;
    found_.code_end = end_of(text);
    trouble(TroubleKind::stray_text, text.data(), end_of(text));
  }

  void stray(std::string_view text) {
    const bool first = found_.words == 0 && troubles_.size() == first_trouble_;
    const bool letters = grammar::is_letter(text.front()) || text.front() == '_';
    found_.starts_with_stray = found_.starts_with_stray || first;
    found_.starts_with_prose = found_.starts_with_prose || (first && letters);
    found_.starts_misspelt = found_.starts_misspelt || (first && is_misspelt_command(text));
    found_.unreadable_command = found_.unreadable_command || is_like_a_command(text);
    ++found_.strays;
    found_.code_end = end_of(text);
    trouble(TroubleKind::stray_text, text.data(), end_of(text));
  }

  void comment(std::string_view text) {
    if (line_.comment.data() == nullptr) line_.comment = text;
  }

  void checksum(std::string_view star_and_digits) {
    unsigned sum = 0;
    for (const char* at = first_; at != star_and_digits.data(); ++at) sum ^= static_cast<unsigned char>(*at);
    constexpr unsigned no_byte = 256;
    unsigned written = 0;
    for (const char c : star_and_digits) {
      if (grammar::is_digit(c)) written = std::min(written * 10 + static_cast<unsigned>(c - '0'), no_byte);
    }
    line_.checksum = sum == written ? Checksum::right : Checksum::wrong;
  }

  void m_code(const char* at, int code) {
    found_.m_code_at = at;
    found_.m_code = code;
  }
  bool is_message() const { return is_among(message_codes); }
  bool is_message_with_text() const { return is_among(codes_of_messages_with_text); }
  bool has_packed_data() const { return is_among(codes_with_packed_data); }
  bool may_have_sentence() const { return is_among(codes_with_sentence); }
  void message(std::string_view text) { m_code_with_text(LineForm::message, text); }
  void text_argument(std::string_view text) { m_code_with_text(LineForm::words, text); }

  void name(std::string_view text) { line_.name = text; }
  void arguments(std::string_view text) {
    line_.form = LineForm::extended;
    line_.arguments = without_outer_blanks(text);
  }

  bool has_words() const { return found_.words > 0; }
  bool never_closes(char bracket) const { return bracket == '[' ? open_square_ : open_curly_; }
  void note_never_closes(char bracket) { (bracket == '[' ? open_square_ : open_curly_) = true; }

  // Another reading of the same line begins.
  void start_again() {
    troubles_.resize(first_trouble_);
    line_.form = LineForm::blank;
    line_.checksum = Checksum::none;
    line_.comment = line_.name = line_.arguments = {};
    found_ = {};
  }

  // Decides the form of the line once all of it is read.
  void finish() {
    if (line_.form != LineForm::blank) return;
    // `GO X10`, but not `Go to X10`.
    const bool misspelt = found_.starts_misspelt && found_.strays == 1 && found_.value;
    if (found_.unreadable_command || misspelt) return leave_out(TroubleKind::command);
    const bool command = found_.first_code != 0 || (found_.special_letters & bit_of('T')) != 0;
    const bool prose =
        found_.starts_with_prose || (found_.starts_with_stray && !command) || (found_.strays > 0 && !found_.value);
    if (prose) return leave_out(TroubleKind::stray_text);
    if (found_.words > 0 || troubles_.size() > first_trouble_) line_.form = LineForm::words;
  }

  std::uint32_t word_count() const { return found_.words; }

 private:
  struct Found {
    std::uint32_t words = 0;
    std::uint32_t special_letters = bit_of('G') | bit_of('M') | bit_of('N');  // and every letter that was there before
    char first_code = 0;                                                      // G or M, whichever came first
    bool value = false;
    bool unreadable_command = false;
    std::uint32_t strays = 0;
    bool starts_with_stray = false;
    bool starts_with_prose = false;
    bool starts_misspelt = false;
    const char* code_end = nullptr;
    const char* m_code_at = nullptr;
    int m_code = 0;
  };

  template <typename Codes>
  bool is_among(const Codes& codes) const {
    return std::ranges::find(codes, found_.m_code) != codes.end();
  }

  void m_code_with_text(LineForm form, std::string_view text) {
    line_.form = form;
    line_.arguments = without_outer_blanks(text);
    push('M', found_.m_code_at, text.data(), found_.m_code, true);
  }

  // A letter that needs more than being pushed; false where it is no word of the line.
  bool special_word(char letter, const char* at, const char* end, double& value) {
    if (letter == 'N') return false;  // a line number inside the line, or an argument nothing is known of
    if (letter != 'G' && letter != 'M') {
      trouble(TroubleKind::repeated_word, at, end);
      return false;
    }
    if (found_.first_code == 0) found_.first_code = letter;
    const bool readable = snap_code(value);
    if (!readable) {
      found_.unreadable_command = true;
      trouble(TroubleKind::word, at, end);
    }
    return readable;
  }

  void push(char letter, const char* at, const char* end, double value, bool has_value) {
    if (found_.words == max_words_per_line) return trouble(TroubleKind::dropped_words, at, end);
    Word& word = words_[found_.words++];
    word.value = value;
    word.column = column(at);
    word.letter = letter;
    word.has_value = has_value;
  }

  void trouble(TroubleKind kind, const char* first, const char* last) {
    if (extends_last_trouble(kind, first)) {
      troubles_.back().length = clamped(last - first_) + 1 - troubles_.back().column;
    } else if (troubles_.size() - first_trouble_ < max_troubles_per_line) {
      troubles_.push_back({kind, column(first), clamped(last - first)});
    }
  }

  bool extends_last_trouble(TroubleKind kind, const char* first) const {
    if (troubles_.size() == first_trouble_ || troubles_.back().kind != kind) return false;
    if (kind == TroubleKind::dropped_words) return true;
    if (kind != TroubleKind::stray_text) return false;
    const char* const end = first_ + troubles_.back().column - 1 + troubles_.back().length;
    return grammar::skip_blanks(end, first) == first;
  }

  void leave_out(TroubleKind kind) {
    std::uint32_t first = std::numeric_limits<std::uint32_t>::max();
    if (found_.words > 0) first = words_[0].column;
    if (troubles_.size() > first_trouble_) first = std::min(first, troubles_[first_trouble_].column);
    troubles_.resize(first_trouble_);
    const char* const start = first_ + first - 1;
    found_.words = 0;
    line_.form = LineForm::unread;
    trouble(kind, start, found_.code_end);
  }

  std::uint32_t column(const char* at) const { return clamped(at - first_ + 1); }

  Line& line_;
  const char* first_;
  Word* words_;
  std::vector<Trouble>& troubles_;
  std::size_t first_trouble_;
  Found found_;
  bool open_square_ = false;
  bool open_curly_ = false;
};

}  // namespace

void parse_block(Block& block, ParsedBlock& parsed) {
  // Bytes on the heap stay where they are when a ParsedBlock is moved; a short string would take its views with it.
  constexpr std::size_t beyond_short_strings = 64;
  block.bytes.reserve(beyond_short_strings);
  parsed.bytes_.swap(block.bytes);
  parsed.lines_.clear();
  parsed.troubles_.clear();
  const std::string_view bytes = parsed.bytes_;
  LineEnds ends(bytes);
  std::uint32_t words = 0;
  for (std::size_t from = 0; from < bytes.size();) {
    if (parsed.words_.size() < words + max_words_per_line) parsed.words_.resize(2 * (words + max_words_per_line));
    const std::size_t end = ends.end_of_line(from);
    ParsedBlock::Record& record = parsed.lines_.emplace_back();
    record.line.number = block.first_line + parsed.lines_.size() - 1;
    record.line.offset = block.offset + from;
    record.line.text = bytes.substr(from, end - from);
    record.first_word = words;
    record.first_trouble = static_cast<std::uint32_t>(parsed.troubles_.size());
    LineSink sink(record.line, parsed.words_.data() + words, parsed.troubles_);
    grammar::read_line(bytes.data() + from, bytes.data() + end, sink);
    sink.finish();
    record.word_count = sink.word_count();
    record.trouble_count = static_cast<std::uint32_t>(parsed.troubles_.size()) - record.first_trouble;
    words += record.word_count;
    from = ends.after(end);
  }
}

}  // namespace beadwise
