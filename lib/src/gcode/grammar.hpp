#pragma once

// Without the limits of the floating-point types, X3 of Boost 1.74 falls back to pow() in its number parsers.
#include <cfloat>

#include <algorithm>
#include <boost/spirit/home/x3.hpp>
#include <cstring>
#include <iterator>
#include <string_view>

#include "gcode/number.hpp"

/// The grammar of one line of G-code: RS-274 (NISTIR 6556, section 3.3 and appendix E) as printers use it. It decides
/// what belongs together; the sink it is given decides what becomes of it. Nothing is synthesised and nothing
/// allocated.
namespace beadwise::grammar {

namespace x3 = boost::spirit::x3;

/// The sink of the line, in the context of the parse.
struct SinkTag;

template <typename Context>
auto& sink_of(const Context& context) {
  return x3::get<SinkTag>(context);
}

inline bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

/// A component that looks at the text itself: `Derived::match(first, last, sink)` returns where it ends, or nullptr.
template <typename Derived>
struct Component : x3::parser<Derived> {
  using attribute_type = x3::unused_type;
  static constexpr bool has_attribute = false;

  template <typename Context, typename RContext, typename Attribute>
  bool parse(const char*& first, const char* const& last, const Context& context, RContext&, Attribute&) const {
    const char* const end = Derived::match(first, last, sink_of(context));
    if (end == nullptr) return false;
    first = end;
    return true;
  }
};

/// Blanks, perhaps none.
struct Blanks : Component<Blanks> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink&) {
    return skip_blanks(first, last);
  }
};

/// A number alone.
struct Number : Component<Number> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink&) {
    return read_number(first, last).end;
  }
};

/// A letter and its number, straight into the sink. A second point or a decimal comma makes the number none.
struct Word : Component<Word> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink& sink) {
    if (first == last || !is_letter(*first)) return nullptr;
    const auto [end, value] = read_number(skip_blanks(first + 1, last), last);
    if (end == nullptr) return nullptr;
    if (end != last && (*end == '.' || (*end == ',' && last - end > 1 && is_digit(end[1])))) return nullptr;
    sink.word(first, end, value);
    return end;
  }
};

/// M and its code, written without blanks inside, so that `M117 10 of 20` keeps its text.
struct MCode : Component<MCode> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink& sink) {
    if (first == last || (*first != 'M' && *first != 'm')) return nullptr;
    const char* const digits = skip_blanks(first + 1, last);
    const char* end = digits;
    int code = 0;
    for (; end != last && is_digit(*end) && end - digits < 5; ++end) code = code * 10 + (*end - '0');
    if (end == digits || (end != last && (is_digit(*end) || *end == '.'))) return nullptr;
    sink.m_code(first, code);
    return end;
  }
};

/// Up to `Mark`, or to the end of the line.
template <char Mark>
struct UpTo : Component<UpTo<Mark>> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink&) {
    const void* const found = std::memchr(first, Mark, static_cast<std::size_t>(last - first));
    return found == nullptr ? last : static_cast<const char*>(found);
  }
};

/// The rest of the line.
struct Rest : Component<Rest> {
  template <typename Sink>
  static const char* match(const char*, const char* last, Sink&) {
    return last;
  }
};

/// `[ ]` or `{ }` with what stands between, nested ones included. Round brackets inside belong to the expression and
/// open no comment; `;` always opens one.
struct Group : Component<Group> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink& sink) {
    if (first == last || (*first != '[' && *first != '{')) return nullptr;
    const char opening = *first;
    // One search that fails is enough for a line: a million open brackets must not cost a million searches.
    if (sink.never_closes(opening)) return nullptr;
    const char closing = opening == '[' ? ']' : '}';
    long depth = 0;
    for (const char* at = first; at != last && *at != ';'; ++at) {
      if (*at == opening) ++depth;
      if (*at == closing && --depth == 0) return at + 1;
    }
    sink.note_never_closes(opening);
    return nullptr;
  }
};

/// Strings in double quotes, one after another without a blank: a doubled quote is a quote inside a string.
struct Quoted : Component<Quoted> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink&) {
    const char* end = nullptr;
    while (first != last && *first == '"') {
      const auto length = static_cast<std::size_t>(last - first - 1);
      const void* const closing = std::memchr(first + 1, '"', length);
      if (closing == nullptr) break;
      end = first = static_cast<const char*>(closing) + 1;
    }
    return end;
  }
};

/// Letters glued to one another after a command, all of them names of axes, as in `M84 XYE`. The last is left to the
/// word where a number follows.
struct GluedAxes : Component<GluedAxes> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink& sink) {
    constexpr std::string_view axes = "XYZEABCUVWxyzeabcuvw";
    const char* end = first;
    for (; end != last && is_letter(*end); ++end) {
      if (axes.find(*end) == std::string_view::npos) return nullptr;
    }
    if (end - first < 2 || !sink.has_words() || (end != last && *end == '_')) return nullptr;
    if (read_number(skip_blanks(end, last), last).end != nullptr) --end;
    for (const char* letter = first; letter != end; ++letter) sink.bare_letter(letter);
    return end;
  }
};

/// Up to the next blank, comment or checksum; at least one byte.
template <bool EndsAtLetter, bool EndsAtGroup>
struct Run : Component<Run<EndsAtLetter, EndsAtGroup>> {
  template <typename Sink>
  static const char* match(const char* first, const char* last, Sink&) {
    const char* at = first;
    for (; at != last; ++at) {
      if (*at == ';' || *at == '(' || (*at == '*' && at != first)) break;
      if (skip_blanks(at, at + std::min<long>(last - at, 2)) != at) break;
      if (EndsAtLetter && at != first && is_letter(*at)) break;
      if (EndsAtGroup && (*at == '[' || *at == '{' || *at == '"') && at != first) break;
    }
    return at == first ? nullptr : at;
  }
};

// What a leaf hands to the sink.
template <typename Context>
std::string_view text_of(const Context& context) {
  const auto range = x3::_attr(context);
  return {range.begin(), static_cast<std::size_t>(range.end() - range.begin())};
}
inline constexpr auto note_comment = [](auto& context) { sink_of(context).comment(text_of(context)); };
inline constexpr auto note_checksum = [](auto& context) { sink_of(context).checksum(text_of(context)); };
inline constexpr auto note_setting = [](auto& context) { sink_of(context).setting(text_of(context)); };
inline constexpr auto note_unreadable = [](auto& context) { sink_of(context).unreadable(text_of(context)); };
inline constexpr auto note_bare = [](auto& context) { sink_of(context).bare_letter(text_of(context).data()); };
inline constexpr auto note_stray = [](auto& context) { sink_of(context).stray(text_of(context)); };
inline constexpr auto note_name = [](auto& context) { sink_of(context).name(text_of(context)); };
inline constexpr auto note_arguments = [](auto& context) { sink_of(context).arguments(text_of(context)); };
inline constexpr auto note_message = [](auto& context) { sink_of(context).message(text_of(context)); };
inline constexpr auto note_text_argument = [](auto& context) { sink_of(context).text_argument(text_of(context)); };
inline constexpr auto if_message = [](auto& context) { x3::_pass(context) = sink_of(context).is_message(); };
inline constexpr auto if_perhaps_message = [](auto& context) {
  x3::_pass(context) = sink_of(context).is_message_with_text();
};
inline constexpr auto if_data = [](auto& context) { x3::_pass(context) = sink_of(context).has_packed_data(); };
inline constexpr auto if_perhaps_sentence = [](auto& context) {
  x3::_pass(context) = sink_of(context).may_have_sentence();
};
inline constexpr auto start_again = [](auto& context) { sink_of(context).start_again(); };

inline constexpr Blanks blanks{};
inline constexpr Number number{};
inline constexpr Word word{};
inline constexpr MCode coded{};
inline constexpr Rest rest{};
inline constexpr Group group{};
inline constexpr Quoted quoted{};
inline constexpr GluedAxes glued_axes{};

inline const auto letter = x3::char_('a', 'z') | x3::char_('A', 'Z');
inline const auto digit = x3::char_('0', '9');
inline const auto blank_byte = x3::lit(' ') | x3::lit('\t');
inline const auto blank = blank_byte | x3::lit("\xC2\xA0");

// Comments: whichever opens first holds; one that is not closed runs to the end of the line.
inline const auto end_comment = x3::lit(';') >> x3::raw[rest][note_comment];
inline const auto comment = end_comment | (x3::lit('(') >> x3::raw[UpTo<')'>{}][note_comment] >> -x3::lit(')'));
inline const auto comment_opens = x3::lit(';') | x3::lit('(');

// A number, not a word: printers count past 99999 and hosts send N-1.
inline const auto line_number = x3::lit('N') | x3::lit('n');
inline const auto numbered = -(line_number >> blanks >> -x3::lit('-') >> +digit >> blanks);

inline const auto checksum_text = x3::lit('*') >> blanks >> +digit >> &(blanks >> (x3::eoi | comment_opens));
inline const auto checksum = x3::raw[checksum_text][note_checksum];

// Nearly every line is this and nothing else.
inline const auto plain = *((word | comment | checksum) >> blanks) >> x3::eoi;

// Parameters, expressions and functions are known so that it is clear where they end; they are not evaluated
// (NISTIR 6556, sections 3.3.2.2 to 3.3.2.4 and 3.3.3).
inline const auto parameter = +x3::lit('#') >> blanks >> (+digit | group);
inline const auto function_name = x3::no_case[x3::lit("atan") | "abs" | "acos" | "asin" | "cos" | "exp" | "fix" |
                                              "fup" | "ln" | "round" | "sin" | "sqrt" | "tan"];
inline const auto expression = -function_name >> blanks >> group >> -(blanks >> x3::lit('/') >> blanks >> group);
inline const auto real_value = number | parameter | expression;
inline const auto setting = x3::raw[parameter >> blanks >> x3::lit('=') >> blanks >> real_value][note_setting];

// A letter with a value that is no number, to the end of that value.
inline const auto no_number = x3::no_case[x3::lit("nan") | "infinity" | "inf"] >> !letter;
inline const auto run_and_group = Run<false, true>{} >> -(group | quoted);
inline const auto value_that_is_none = parameter | expression | quoted | no_number | (!(letter | '*') >> run_and_group);
inline const auto unreadable = x3::raw[letter >> blanks >> value_that_is_none][note_unreadable];

inline const auto bare = x3::raw[letter >> &(blank | comment_opens | '*' | x3::eoi)][note_bare];
inline const auto glued_text = &(letter | '_') >> Run<false, false>{};
inline const auto stray = x3::raw[group | quoted | glued_text | Run<true, false>{}][note_stray];

// The order matters: a letter is bare only where no value follows, and text is stray only where nothing else fits.
inline const auto item = word | comment | checksum | setting | unreadable | bare | glued_axes | stray;
inline const auto code = *(item >> blanks);

// `NAME KEY=VALUE …` and `@name …`. A token with a digit that begins like a command or a line number (`GOX100`) is no
// name unless it has an underline.
inline const auto name_letter = letter | '_';
inline const auto name_character = name_letter | digit | '.';
inline const auto ends_here = blank | comment_opens | x3::eoi;
inline const auto underlined_name = &(*(name_character - '_') >> '_') >> name_letter >> +name_character;
inline const auto command_letter = x3::no_case[x3::lit('g') | 'm' | 'n' | 't'];
inline const auto like_a_command = command_letter >> *(name_character - digit) >> digit;
inline const auto plain_name = !like_a_command >> letter >> letter >> *name_character;
inline const auto first_key = name_letter >> *name_character >> '=';
inline const auto named = x3::raw[underlined_name >> &(ends_here | '*')][note_name] |
                          x3::raw[plain_name >> &(blanks >> (x3::eoi | comment_opens | '*' | first_key))][note_name];
inline const auto at_named = x3::lit('@') >> x3::raw[+(x3::char_ - blank - ';')][note_name];
// A round bracket inside a value belongs to it.
inline const auto argument_character = x3::char_ - x3::lit(';') - (blank_byte >> '(') - checksum_text;
inline const auto behind_argument = blanks >> -(checksum >> blanks) >> -comment >> blanks >>
                                    -(x3::raw[+x3::char_][note_stray]);
inline const auto argument_text = *(quoted | argument_character);
inline const auto extended = (at_named | named) >> x3::raw[argument_text][note_arguments] >> behind_argument;

// A message is text to the end of the line, whatever it looks like; some codes are one only where something follows.
inline const auto no_text = blanks >> (x3::eoi | comment_opens | '*');
inline const auto is_message = x3::eps[if_message] | (x3::eps[if_perhaps_message] >> !no_text);
inline const auto message_text = x3::raw[UpTo<';'>{}][note_message] >> -end_comment;

// A command whose argument is a name, packed data or a sentence, and no words: `M1002 judge_flag timelapse`.
inline const auto name_or_data = letter >> letter >> *(letter | digit) >> (x3::lit('_') | '=' | '+' | '/');
inline const auto sentence = x3::eps[if_perhaps_sentence] >> letter >> letter;
inline const auto has_text_argument = &(blank >> blanks >> (x3::eps[if_data] | name_or_data | sentence)) >> !no_text;
inline const auto text_argument = x3::raw[argument_text][note_text_argument] >> behind_argument;
inline const auto text_command = coded >> ((is_message >> message_text) | (has_text_argument >> text_argument));

inline const auto skipped = x3::lit('/') >> rest;
inline const auto tape_mark = x3::lit('%') >> blanks >> *(comment >> blanks) >> x3::eoi;

inline const auto restart = x3::eps[start_again];

/// A whole line, without its line end. It reads any bytes to their end.
inline const auto line = blanks >> numbered >>
                         (text_command | plain | (restart >> (skipped | tape_mark | extended | code)));

/// Reads the line from `first` to `last` into `sink`.
template <typename Sink>
void read_line(const char* first, const char* last, Sink& sink) {
  // As x3::with does it, but that would copy the whole grammar for every line.
  const auto context = x3::make_context<SinkTag>(sink);
  line.parse(first, last, context, x3::unused, x3::unused);
}

}  // namespace beadwise::grammar
