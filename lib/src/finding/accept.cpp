#include "finding/accept.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "base/last_part.hpp"
#include "base/lower_case.hpp"

namespace beadwise {

namespace {

using Words = std::vector<std::string>;

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

/// Letters, digits, and every byte beyond ASCII: a letter of some other alphabet, or a sign such as ² and °.
bool belongs_to_word(std::string_view text, std::size_t at) {
  const auto byte = static_cast<unsigned char>(text[at]);
  if (byte >= 0x80 || is_digit(text[at])) return true;
  if ((byte | 0x20U) >= 'a' && (byte | 0x20U) <= 'z') return true;
  // "0.4 mm" is no "4 mm".
  return byte == '.' && at > 0 && at + 1 < text.size() && is_digit(text[at - 1]) && is_digit(text[at + 1]);
}

Words words_of(std::string_view text) {
  Words words;
  bool inside = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool belongs = belongs_to_word(text, i);
    if (belongs && !inside) words.emplace_back();
    if (belongs) words.back() += text[i];
    inside = belongs;
  }
  for (std::string& word : words) word = lower_case(std::move(word));
  return words;
}

bool stands_in(const Words& phrase, std::string_view text) {
  const Words words = words_of(text);
  return std::search(words.begin(), words.end(), phrase.begin(), phrase.end()) != words.end();
}

/// The last part of a path without the endings of a sliced file.
std::string_view bare_name(std::string_view path) {
  std::string_view file = last_part(path);
  constexpr std::array<std::string_view, 4> endings = {".gz", ".gcode", ".gco", ".g"};
  for (const std::string_view ending : endings) {
    if (file.size() <= ending.size()) continue;
    const std::string_view end = file.substr(file.size() - ending.size());
    if (lower_case(std::string(end)) == ending) file.remove_suffix(ending.size());
  }
  return file;
}

std::string object_of(const Finding& finding) {
  return finding.objects.size() == 1 ? "object " + std::to_string(finding.objects.front()) : std::string();
}

std::vector<Words> phrases_of(std::string_view where) {
  std::vector<Words> phrases;
  while (!where.empty()) {
    const std::size_t comma = std::min(where.find(','), where.size());
    Words phrase = words_of(where.substr(0, comma));
    if (!phrase.empty()) phrases.push_back(std::move(phrase));
    where.remove_prefix(std::min(comma + 1, where.size()));
  }
  return phrases;
}

}  // namespace

bool means(std::string_view where, std::string_view file, const Finding& finding) {
  if (where == finding.fingerprint) return true;
  const std::vector<Words> phrases = phrases_of(where);
  return !phrases.empty() && std::all_of(phrases.begin(), phrases.end(), [&](const Words& phrase) {
    return stands_in(phrase, bare_name(file)) || stands_in(phrase, finding.key) || stands_in(phrase, finding.what) ||
           stands_in(phrase, object_of(finding));
  });
}

std::vector<const Accepted*> accept(std::span<const Accepted> stated, std::string_view file,
                                    std::vector<Finding>& findings) {
  std::vector<const Accepted*> unused;
  for (const Accepted& one : stated) {
    bool met = false;
    for (Finding& finding : findings) {
      if (finding.check != one.check || !means(one.where, file, finding)) continue;
      met = true;
      if (!finding.accepted)
        finding.accepted = Acceptance{.because = one.because, .from = one.stated_at, .in_profile = true};
    }
    if (!met) unused.push_back(&one);
  }
  put_accepted_last(findings);
  return unused;
}

void put_accepted_last(std::vector<Finding>& findings) {
  std::stable_partition(findings.begin(), findings.end(), [](const Finding& finding) { return !finding.accepted; });
}

}  // namespace beadwise
