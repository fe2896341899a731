#include "text/line_ends.hpp"

namespace beadwise {

namespace {

std::uint64_t count_lf(std::string_view text) {
  // A loop over a fixed number of bytes is one that compilers turn into vector instructions, also at -O2.
  constexpr std::size_t step = 64;
  std::uint64_t count = 0;
  std::size_t at = 0;
  for (; at + step <= text.size(); at += step) {
    std::uint8_t in_step = 0;
    for (std::size_t i = 0; i < step; ++i) in_step = static_cast<std::uint8_t>(in_step + (text[at + i] == '\n'));
    count += in_step;
  }
  for (; at < text.size(); ++at) count += text[at] == '\n';
  return count;
}

}  // namespace

std::uint64_t count_line_ends(std::string_view text) {
  std::uint64_t lone_cr = 0;
  for (std::size_t at = text.find('\r'); at != std::string_view::npos; at = text.find('\r', at + 1)) {
    lone_cr += at + 1 == text.size() || text[at + 1] != '\n';
  }
  return count_lf(text) + lone_cr;
}

}  // namespace beadwise
