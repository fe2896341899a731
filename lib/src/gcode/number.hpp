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

/// A number and where it ends.
struct NumberRead {
  const char* end = nullptr;  ///< nullptr where there is no number
  double value = 0;
};

/// Reads a number of any length, with blanks inside it or an exponent that a formatter left behind. One that is too
/// large for a double is none.
NumberRead read_long_number(const char* at, const char* end);

/// Powers of ten that a double holds exactly.
inline constexpr double power_of_ten[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                          1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

/// A number with fewer decimals than this has no exponent: `X10E2` is X and E, `X1.4210854715202004e-14` one word.
inline constexpr long least_decimals_before_exponent = 7;

/// Takes digits onto `number`, which may overflow, and returns where they end.
inline const char* read_digits(const char* at, const char* end, unsigned long long& number) {
  for (; at != end; ++at) {
    const unsigned digit = static_cast<unsigned char>(*at) - unsigned{'0'};
    if (digit > 9) break;
    number = number * 10 + digit;
  }
  return at;
}

/// Whether a number that was read up to `at` may go on behind blanks.
inline bool may_go_on(const char* at, const char* end) {
  if (*at != ' ' && *at != '\t' && *at != '\xC2') return false;
  const char* const next = skip_blanks(at, end);
  return next != end && (is_digit(*next) || *next == '.');
}

/// Reads `[+-]digits[.digits]` (NISTIR 6556, section 3.3.2.1), to the double nearest to what is written.
inline NumberRead read_number(const char* const start, const char* const end) {
  const char* at = start;
  if (at != end && (*at == '-' || *at == '+')) ++at;
  unsigned long long digits = 0;
  const char* const whole = at;
  at = read_digits(at, end, digits);
  long count = at - whole;
  long decimals = 0;
  if (at != end && *at == '.') {
    const char* const fraction = ++at;
    at = read_digits(at, end, digits);
    decimals = at - fraction;
    count += decimals;
  }
  // Both operands are exact up to 15 digits, so their quotient is the nearest double; what is longer, and what is rare,
  // goes the long way.
  constexpr long exact_digits = 15;
  const bool in_doubt = count == 0 || count > exact_digits || decimals >= least_decimals_before_exponent;
  if (in_doubt || (at != end && may_go_on(at, end))) return read_long_number(start, end);
  const double magnitude = static_cast<double>(static_cast<long long>(digits)) / power_of_ten[decimals];
  return {at, *start == '-' ? -magnitude : magnitude};
}

}  // namespace beadwise::grammar
