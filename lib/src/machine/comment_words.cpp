#include "machine/comment_words.hpp"

#include <array>
#include <cstddef>

namespace beadwise {

namespace {

enum Mention : std::uint32_t {
  outer = 1U << 0U,
  inner = 1U << 1U,
  perimeter = 1U << 2U,
  infill = 1U << 3U,
  solid = 1U << 4U,
  top = 1U << 5U,
  bottom = 1U << 6U,
  bridge = 1U << 7U,
  gap = 1U << 8U,
  support = 1U << 9U,
  interface = 1U << 10U,
  skirt = 1U << 11U,
  brim = 1U << 12U,
  raft = 1U << 13U,
  prime = 1U << 14U,
  ironing = 1U << 15U,
  surface = 1U << 16U,
  wipe = 1U << 17U,
  structure = 1U << 18U,
};

struct Term {
  std::string_view word;
  std::uint32_t mentions;
};

// Words of the trade, lower case; a plural s is taken off before.
constexpr std::array terms{
    Term{"outer", outer},         Term{"external", outer},      Term{"outside", outer},  Term{"inner", inner},
    Term{"internal", inner},      Term{"perimeter", perimeter}, Term{"wall", perimeter}, Term{"shell", perimeter},
    Term{"contour", perimeter},   Term{"infill", infill},       Term{"fill", infill},    Term{"filling", infill},
    Term{"solid", solid},         Term{"skin", solid},          Term{"top", top},        Term{"bottom", bottom},
    Term{"bridge", bridge},       Term{"bridging", bridge},     Term{"gap", gap},        Term{"support", support},
    Term{"interface", interface}, Term{"skirt", skirt},         Term{"brim", brim},      Term{"raft", raft},
    Term{"prime", prime},         Term{"priming", prime},       Term{"purge", prime},    Term{"purging", prime},
    Term{"ironing", ironing},     Term{"surface", surface},     Term{"wipe", wipe},      Term{"tower", structure},
    Term{"block", structure},
};

constexpr std::size_t most_words = 5;
constexpr std::size_t longest_word = 16;

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::uint32_t mentions_of(std::string_view word) {
  std::array<char, longest_word> lower{};
  if (word.size() > lower.size()) return 0;
  for (std::size_t i = 0; i < word.size(); ++i) lower[i] = static_cast<char>(word[i] | 0x20);
  std::string_view text{lower.data(), word.size()};
  if (text.size() > 3 && text.back() == 's') text.remove_suffix(1);
  for (const Term& term : terms)
    if (term.word == text) return term.mentions;
  return 0;
}

std::optional<BeadRole> role_of(std::uint32_t said) {
  const auto says = [said](std::uint32_t mention) { return (said & mention) != 0; };
  if (says(ironing)) return BeadRole::ironing;
  if (says(support)) return says(interface) ? BeadRole::support_interface : BeadRole::support;
  if (says(skirt)) return BeadRole::skirt;
  if (says(brim)) return BeadRole::brim;
  if (says(raft)) return BeadRole::raft;
  // A block to wipe the nozzle on; a wipe alone is a motion.
  if (says(prime) || (says(wipe) && says(structure))) return BeadRole::prime;
  if (says(bridge)) return BeadRole::bridge;
  if (says(gap) && says(infill)) return BeadRole::gap_fill;
  if (says(perimeter)) return says(outer) ? BeadRole::outer_perimeter : BeadRole::perimeter;
  if (says(top) && (says(infill) || says(solid) || says(surface))) return BeadRole::top;
  if (says(bottom) && (says(infill) || says(solid) || says(surface))) return BeadRole::bottom;
  if (says(solid)) return BeadRole::solid_infill;
  if (says(infill)) return BeadRole::infill;
  return std::nullopt;
}

}  // namespace

std::optional<BeadRole> role_in_comment(std::string_view comment) {
  std::uint32_t said = 0;
  std::size_t words = 0;
  for (std::size_t i = 0; i < comment.size();) {
    const char c = comment[i];
    if ((c >= '0' && c <= '9') || c == '=' || c == '%') return std::nullopt;
    if (!is_letter(c)) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < comment.size() && is_letter(comment[end])) ++end;
    if (++words > most_words) return std::nullopt;
    said |= mentions_of(comment.substr(i, end - i));
    i = end;
  }
  return said == 0 ? std::nullopt : role_of(said);
}

}  // namespace beadwise
