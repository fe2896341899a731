#include "gcode/number.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstddef>
#include <system_error>

namespace beadwise::grammar {

namespace {

// 768 digits decide the rounding of any double; what comes after can only break a tie, which one more digit does.
constexpr std::size_t deciding_digits = 768;

// A double holds nothing beyond 10^308; larger exponents are cut here so that they stay integers.
constexpr long largest_exponent = 100000;

// The digits that matter of a decimal number, as 0.DIGITS times ten to the `point`.
class Decimal {
 public:
  void add(char digit, bool after_point) {
    any_ = true;
    const bool leading_zero = size_ == 0 && digit == '0';
    if (!leading_zero && size_ < deciding_digits)
      digits_[size_++] = digit;
    else if (!leading_zero && digit != '0')
      remainder_ = true;
    if (!leading_zero && !after_point) ++point_;
    if (leading_zero && after_point) --point_;
  }
  bool any() const { return any_; }

  // False where the value is too large.
  bool value(long exponent, double& result) const {
    result = 0;
    if (size_ == 0) return true;
    std::array<char, deciding_digits + 32> text{};
    char* to = text.data();
    *to++ = '.';
    to = std::copy_n(digits_.data(), size_, to);
    if (remainder_) *to++ = '1';
    *to++ = 'e';
    const long power = std::clamp(point_, -largest_exponent, largest_exponent) + exponent;
    to = std::to_chars(to, text.data() + text.size(), power).ptr;
    const auto read = std::from_chars(text.data(), to, result, std::chars_format::general);
    if (read.ec == std::errc() || power < 0) return true;
    return false;
  }

 private:
  std::array<char, deciding_digits> digits_;
  std::size_t size_ = 0;
  long point_ = 0;
  bool any_ = false;
  bool remainder_ = false;
};

// Reads the exponent at `at` where there is one: E, a sign, digits, and no point that would make it the word E.
const char* read_exponent(const char* at, const char* end, long& exponent) {
  if (at == end || (*at != 'e' && *at != 'E')) return at;
  const char* digit = at + 1;
  bool negative = false;
  if (digit != end && (*digit == '-' || *digit == '+')) negative = *digit++ == '-';
  const char* const first_digit = digit;
  long magnitude = 0;
  for (; digit != end && is_digit(*digit); ++digit) {
    magnitude = std::min(magnitude * 10 + (*digit - '0'), largest_exponent);
  }
  if (digit == first_digit || (digit != end && *digit == '.')) return at;
  exponent = negative ? -magnitude : magnitude;
  return digit;
}

}  // namespace

NumberRead read_long_number(const char* at, const char* end) {
  const bool negative = at != end && *at == '-';
  if (at != end && (*at == '-' || *at == '+')) ++at;
  Decimal decimal;
  bool point = false;
  long decimals = 0;
  const char* number_end = at;
  for (at = skip_blanks(at, end); at != end; at = skip_blanks(at, end)) {
    if (is_digit(*at)) {
      decimal.add(*at, point);
      decimals += point;
    } else if (*at == '.' && !point) {
      point = true;
    } else {
      break;
    }
    number_end = ++at;
  }
  if (!decimal.any()) return {};
  long exponent = 0;
  if (decimals >= least_decimals_before_exponent) number_end = read_exponent(number_end, end, exponent);
  double value = 0;
  if (!decimal.value(exponent, value)) return {};
  return {number_end, negative ? -value : value};
}

}  // namespace beadwise::grammar
