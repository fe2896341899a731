#include <nettle/sha2.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <map>
#include <tuple>
#include <utility>

#include "beadwise/finding.hpp"

namespace beadwise {

namespace {

constexpr std::size_t fingerprint_bytes = 8;

/// The start of SHA-256 (FIPS 180-4) as lower-case hexadecimal digits.
std::string short_sha256(const std::string& text) {
  sha256_ctx context;
  sha256_init(&context);
  sha256_update(&context, text.size(), reinterpret_cast<const std::uint8_t*>(text.data()));
  std::array<std::uint8_t, fingerprint_bytes> digest{};
  sha256_digest(&context, digest.size(), digest.data());
  constexpr std::string_view digits = "0123456789abcdef";
  std::string hex;
  for (const std::uint8_t byte : digest) {
    hex += digits[byte >> 4U];
    hex += digits[byte & 15U];
  }
  return hex;
}

bool comes_first(const Finding& a, const Finding& b) {
  if (a.severity != b.severity) return a.severity > b.severity;
  const std::uint64_t line_a = a.places.first_line();
  const std::uint64_t line_b = b.places.first_line();
  return std::tie(line_a, a.check, a.key) < std::tie(line_b, b.check, b.key);
}

}  // namespace

void Findings::add(Finding finding) { findings_.push_back(std::move(finding)); }

std::vector<Finding> Findings::take() {
  std::vector<Finding> taken = std::exchange(findings_, {});
  std::stable_sort(taken.begin(), taken.end(), comes_first);
  std::map<std::pair<std::string, std::string>, std::uint64_t> seen;
  for (Finding& finding : taken) {
    // Two findings of one check with one key differ only in their order; a re-sliced file keeps that.
    const std::uint64_t ordinal = ++seen[{finding.check, finding.key}];
    finding.fingerprint = short_sha256(finding.check + '\0' + finding.key + '\0' + std::to_string(ordinal));
  }
  return taken;
}

}  // namespace beadwise
