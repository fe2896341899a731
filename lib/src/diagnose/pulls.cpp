#include "diagnose/pulls.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "diagnose/levers.hpp"

namespace beadwise {

namespace {

constexpr std::size_t most_pulls = 6;

struct Turned {
  const Finding* finding;
  bool is_cause;
  Turn turn;
};

/// A longer pull drags more of the filament through the gear, and many programs lift only where they pull back: both
/// work against pulling back less often.
bool costs_pulls(Lever lever) { return lever == Lever::lift || lever == Lever::pull_length; }

bool pull_apart(const Turn& up, const Turn& down) {
  if (up.way != Way::up || down.way != Way::down) return false;
  return up.lever == down.lever || (costs_pulls(up.lever) && down.lever == Lever::pull_count);
}

std::vector<Turned> turned_by(std::span<const Cause> causes, std::span<const Finding> others) {
  std::vector<Turned> all;
  const auto add = [&](const Finding& finding, bool is_cause) {
    for (Turn& turn : turns_of(finding))
      if (!turn.passing) all.push_back({&finding, is_cause, std::move(turn)});
  };
  for (const Cause& cause : causes)
    for (const Evidence& evidence : cause.evidence) add(evidence.finding, true);
  for (const Finding& finding : others)
    if (finding.severity >= Severity::warning) add(finding, false);
  return all;
}

bool is_opposed(const Turned& one, const std::vector<Turned>& all) {
  return std::any_of(all.begin(), all.end(), [&](const Turned& other) {
    return other.finding->check != one.finding->check &&
           (pull_apart(one.turn, other.turn) || pull_apart(other.turn, one.turn));
  });
}

/// What the remedy of a finding offers besides, that pulls against nothing.
std::vector<std::string> free_of(const Turned& turned, const std::vector<Turned>& all) {
  std::vector<std::string> sentences;
  for (const Turned& other : all) {
    if (other.finding != turned.finding || other.turn.sentence == turned.turn.sentence || is_opposed(other, all))
      continue;
    if (std::find(sentences.begin(), sentences.end(), other.turn.sentence) == sentences.end())
      sentences.push_back(other.turn.sentence);
  }
  return sentences;
}

/// A sentence that stands by itself: "Or pull back 1 mm." becomes "Pull back 1 mm.", and what leads to a list is cut.
std::string standing_alone(std::string sentence) {
  constexpr std::string_view list = "in this order: ";
  const std::size_t listed = sentence.find(list);
  if (listed != std::string::npos) sentence.erase(0, listed + list.size());
  constexpr std::string_view joined = "Or ";
  if (sentence.starts_with(joined)) sentence.erase(0, joined.size());
  sentence.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(sentence.front())));
  return sentence;
}

Advice advice_of(const Turned& turned) {
  return {turned.finding->check, turned.finding->severity, turned.is_cause, standing_alone(turned.turn.sentence)};
}

/// What explains what was seen goes first; of two that do, or do not, the worse.
bool goes_first(const Turned& one, const Turned& other) {
  if (one.is_cause != other.is_cause) return one.is_cause;
  return one.finding->severity >= other.finding->severity;
}

std::vector<std::string> order_to_try(const Turned& up, const Turned& down, const std::vector<Turned>& all) {
  const LeverGuide& guide = guide_of(up.turn.lever);
  std::vector<std::string> order;
  if (!guide.both.empty()) order.emplace_back(guide.both);
  for (const Turned* turned : {&up, &down})
    for (const std::string& sentence : free_of(*turned, all))
      order.push_back(
          fmt::format("What pulls against nothing ({}): {}", turned->finding->check, standing_alone(sentence)));
  const Turned& first = goes_first(up, down) ? up : down;
  const Turned& second = &first == &up ? down : up;
  order.push_back(fmt::format("Then what {} asks for: {} Go {}, and stop where {} begins to show.",
                              first.finding->check, standing_alone(first.turn.sentence), guide.step,
                              second.finding->check));
  order.emplace_back(guide.last);
  return order;
}

}  // namespace

std::vector<Pull> pulls_among(std::span<const Cause> causes, std::span<const Finding> others) {
  const std::vector<Turned> all = turned_by(causes, others);
  std::vector<Pull> pulls;
  for (const Turned& up : all) {
    for (const Turned& down : all) {
      if (!(up.is_cause || down.is_cause) || up.finding->check == down.finding->check) continue;
      if (!pull_apart(up.turn, down.turn)) continue;
      const std::string_view over = guide_of(up.turn.lever).name;
      const bool told = std::any_of(pulls.begin(), pulls.end(), [&](const Pull& pull) {
        return pull.over == over && pull.up.check == up.finding->check && pull.down.check == down.finding->check;
      });
      if (told) continue;
      pulls.push_back({std::string(over), advice_of(up), advice_of(down), order_to_try(up, down, all)});
      if (pulls.size() == most_pulls) return pulls;
    }
  }
  return pulls;
}

}  // namespace beadwise
