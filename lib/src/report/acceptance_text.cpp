#include "report/acceptance_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "report/spoken.hpp"

namespace beadwise {

std::string accepted_in_words(const Acceptance& acceptance) {
  if (acceptance.because.empty()) return fmt::format("noted in {}", acceptance.from);
  return fmt::format("{} ({})", acceptance.because, acceptance.from);
}

std::vector<std::string> unused_in_words(const FileReport& report) {
  std::vector<std::string> sentences;
  std::vector<std::pair<std::string, std::uint64_t>> gone;  // by baseline
  for (const UnusedAcceptance& unused : report.unused_acceptances) {
    if (unused.in_profile) {
      sentences.push_back(fmt::format("{}: what is accepted of {}, \"{}\", is not found here.", unused.from,
                                      unused.check, unused.where));
      continue;
    }
    const auto known =
        std::find_if(gone.begin(), gone.end(), [&](const auto& baseline) { return baseline.first == unused.from; });
    if (known == gone.end())
      gone.emplace_back(unused.from, 1);
    else
      ++known->second;
  }
  for (const auto& [baseline, count] : gone)
    sentences.push_back(fmt::format("{} noted in {} {} gone: write it anew.", counted(count, "finding"), baseline,
                                    count == 1 ? "is" : "are"));
  return sentences;
}

}  // namespace beadwise
