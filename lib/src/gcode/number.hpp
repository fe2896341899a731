#pragma once

namespace beadwise::grammar {

/// Blank, tab and the no-break space of UTF-8: they mean nothing between and inside words (NISTIR 6556, section 3.3).
inline const char* skip_blanks(const char* at, const char* end) {
  while (at != end) {
    if (*at == ' ' || *at == '\t') {
      ++at;
    } else if (*at == '\xC2' && end - at > 1 && at[1] == '\xA0') {
      at += 2;
    } else {
      break;
    }
  }
  return at;
}

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Reads a number of any length, with blanks inside it or an exponent that a formatter left behind. Returns where it
/// ends, or nullptr where there is none or it is too large for a double.
const char* read_long_number(const char* at, const char* end, double& value);

/// Powers of ten that a double holds exactly.
inline constexpr double power_of_ten[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                          1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

/// A number with fewer decimals than this has no exponent: `X10E2` is X and E, `X1.4210854715202004e-14` one word.
inline constexpr long least_decimals_before_exponent = 7;

/// Reads `[+-]digits[.digits]` (NISTIR 6556, section 3.3.2.1). Returns where the number ends, or nullptr where there
/// is none. The value is the double nearest to what is written.
inline const char* read_number(const char* at, const char* end, double& value) {
  const char* const start = at;
  bool negative = false;
  if (at != end && (*at == '-' || *at == '+')) negative = *at++ == '-';
  unsigned long long digits = 0;
  const char* const whole = at;
  for (; at != end && is_digit(*at); ++at) digits = digits * 10 + static_cast<unsigned long long>(*at - '0');
  long count = at - whole;
  long decimals = 0;
  if (at != end && *at == '.') {
    const char* const fraction = ++at;
    for (; at != end && is_digit(*at); ++at) digits = digits * 10 + static_cast<unsigned long long>(*at - '0');
    decimals = at - fraction;
    count += decimals;
  }
  // Both operands are exact up to 15 digits, so their quotient is the nearest double; beyond, and for what is rare,
  // the long way.
  constexpr long exact_digits = 15;
  const bool may_go_on = at != end && (*at == ' ' || *at == '\t' || *at == '\xC2');
  const char* const beyond = may_go_on ? skip_blanks(at, end) : at;
  const bool blanks_inside = may_go_on && beyond != end && (is_digit(*beyond) || *beyond == '.');
  const bool exponent = decimals >= least_decimals_before_exponent && at != end && (*at == 'e' || *at == 'E');
  if (count == 0 || count > exact_digits || blanks_inside || exponent) return read_long_number(start, end, value);
  const double magnitude = static_cast<double>(digits) / power_of_ten[decimals];
  value = negative ? -magnitude : magnitude;
  return at;
}

}  // namespace beadwise::grammar
