#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "base/lower_case.hpp"
#include "beadwise/diagnose.hpp"
#include "diagnose/symptom_guide.hpp"
#include "diagnose/symptom_words.hpp"

namespace beadwise {

namespace {

constexpr int enough = 2;         // one plain word
constexpr std::size_t most = 64;  // words that are looked at; a person says it in fewer

using Words = std::vector<std::string>;
using Scores = std::array<int, 14>;

template <class List, class One>
bool holds(const List& list, const One& one) {
  return std::find(list.begin(), list.end(), one) != list.end();
}

constexpr std::array<std::string_view, 6> denying = {"not", "no", "never", "without", "cannot", "hardly"};
// A word that turns what is denied around: "does not stop stringing", "not only strings".
constexpr std::array<std::string_view, 4> undenying = {"stop", "stops", "only", "just"};
constexpr std::array<std::string_view, 6> joining = {"and", "but", "then", "also", "plus", "while"};

/// Letters and figures in small; "doesn't", "won't" and "dont" end in "not".
Words words_of(std::string_view text) {
  Words words;
  std::string word;
  const auto finish = [&] {
    if (word.empty()) return;
    const bool shortened =
        word.size() > 3 && word.ends_with("nt") &&
        holds(std::array<std::string_view, 12>{"dont", "doesnt", "didnt", "wont", "isnt", "wasnt", "cant", "couldnt",
                                               "arent", "hasnt", "havent", "werent"},
              word);
    words.push_back(shortened || holds(denying, word) ? "not" : word);
    word.clear();
  };
  for (const char letter : lower_case(std::string(text))) {
    const bool part = (letter >= 'a' && letter <= 'z') || (letter >= '0' && letter <= '9');
    if (part) {
      word += letter;
    } else if (letter == ',' || letter == ';' || letter == '+' || letter == '&' || letter == '/') {
      finish();
      words.emplace_back("and");
    } else if (letter != '\'') {
      finish();
    }
    if (words.size() >= most) break;
  }
  finish();
  return words;
}

bool is_like(std::string_view word, std::string_view stem) {
  if (!stem.ends_with('*')) return word == stem;
  stem.remove_suffix(1);
  return word.starts_with(stem);
}

bool is_one_of(std::string_view word, std::string_view alternatives) {
  while (true) {
    const std::size_t bar = alternatives.find('|');
    if (is_like(word, alternatives.substr(0, bar))) return true;
    if (bar == std::string_view::npos) return false;
    alternatives.remove_prefix(bar + 1);
  }
}

/// Said not to be so: a denial up to two words before.
bool is_denied(const Words& words, std::size_t at) {
  for (std::size_t back = 1; back <= 2 && back <= at; ++back) {
    if (words[at - back] != "not") continue;
    return !holds(undenying, words[at - back + 1]) && !holds(undenying, words[at]);
  }
  return false;
}

/// Whether every word of a pattern stands in the phrase, each at another place, none of them denied by a word that is
/// not part of the pattern.
bool is_said(const Words& words, std::string_view pattern) {
  const bool denies =
      pattern.starts_with("not ") || pattern.starts_with("not|") || pattern.find(" not ") != std::string_view::npos;
  std::vector<bool> used(words.size(), false);
  while (!pattern.empty()) {
    const std::size_t blank = std::min(pattern.find(' '), pattern.size());
    const std::string_view alternatives = pattern.substr(0, blank);
    pattern.remove_prefix(std::min(blank + 1, pattern.size()));
    std::size_t at = 0;
    while (at < words.size() &&
           (used[at] || !is_one_of(words[at], alternatives) || (!denies && is_denied(words, at)))) {
      ++at;
    }
    if (at == words.size()) return false;
    used[at] = true;
  }
  return true;
}

Scores scores_of(const Words& words) {
  Scores scores{};
  for (const SymptomWords& row : symptom_words()) {
    int& score = scores.at(static_cast<std::size_t>(row.symptom));
    // The strongest counts, not the sum: saying a thing twice makes it no surer.
    if (row.weight > score && is_said(words, row.words)) score = row.weight;
  }
  return scores;
}

UnderstoodWords meaning_of(const Words& words) {
  const Scores scores = scores_of(words);
  const int best = *std::max_element(scores.begin(), scores.end());
  UnderstoodWords meaning;
  if (best == 0) return meaning;
  for (const Symptom symptom : all_symptoms)
    if (scores.at(static_cast<std::size_t>(symptom)) == best) meaning.symptoms.push_back(symptom);
  meaning.clear = best >= enough && meaning.symptoms.size() == 1;
  return meaning;
}

/// "it strings and the corners lift": each part for itself, where each is clear.
std::optional<UnderstoodWords> meaning_in_parts(const Words& words) {
  UnderstoodWords all;
  all.clear = true;
  for (auto first = words.begin(); first != words.end();) {
    const auto last = std::find_if(first, words.end(), [](const std::string& word) { return holds(joining, word); });
    const UnderstoodWords part = meaning_of(Words(first, last));
    if (!part.symptoms.empty() && !part.clear) return std::nullopt;
    for (const Symptom symptom : part.symptoms)
      if (!holds(all.symptoms, symptom)) all.symptoms.push_back(symptom);
    first = last == words.end() ? last : last + 1;
  }
  return all.symptoms.size() > 1 ? std::optional(all) : std::nullopt;
}

std::optional<Symptom> named(const Words& words) {
  std::string name;
  for (const std::string& word : words) name += name.empty() ? word : '-' + word;
  for (const SymptomGuide& guide : symptom_guides())
    if (to_string(guide.symptom) == name) return guide.symptom;
  return std::nullopt;
}

}  // namespace

UnderstoodWords understand(std::string_view phrase) {
  const Words words = words_of(phrase);
  if (const std::optional<Symptom> symptom = named(words)) return {{*symptom}, true};
  if (const std::optional<UnderstoodWords> parts = meaning_in_parts(words)) return *parts;
  return meaning_of(words);
}

}  // namespace beadwise
