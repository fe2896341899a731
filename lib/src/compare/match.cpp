#include "compare/match.hpp"

#include <algorithm>
#include <map>
#include <string>
#include <tuple>
#include <utility>

#include "compare/likeness.hpp"

namespace beadwise {

namespace {

// Half of the words or more are the same: "long bridge" and "bridge", "tips over" and "may tip over".
constexpr double least_likeness = 0.5;
// What lies nowhere neither speaks for a match nor against it.
constexpr double unknown_place = 0.5;

struct Candidate {
  double score = 0;
  std::size_t before = 0;
  std::size_t after = 0;
};

/// The best first. Equal ones in an order that swapping the reports does not change: of (1, 2) and (2, 1) neither
/// stands in the other's way.
bool goes_first(const Candidate& a, const Candidate& b) {
  const auto rank = [](const Candidate& one) {
    const auto [least, most] = std::minmax(one.before, one.after);
    return std::make_tuple(-one.score, one.before + one.after, most - least, one.before);
  };
  return rank(a) < rank(b);
}

class Matcher {
 public:
  Matcher(const FileReport& before, const FileReport& after)
      : before_(before.findings), after_(after.findings), shift_(plate_shift(before, after)) {
    for (const Finding& finding : before_) features_before_.push_back(features_of(finding));
    for (const Finding& finding : after_) features_after_.push_back(features_of(finding));
    taken_before_.resize(before_.size());
    taken_after_.resize(after_.size());
  }

  std::vector<Match> matches() {
    match_kinds();
    match_alike();
    add_the_rest();
    return std::move(matches_);
  }

 private:
  struct Kind {
    std::vector<std::size_t> before;
    std::vector<std::size_t> after;
  };

  /// One check and one key; where a report has no keys, one check and one fingerprint.
  void match_kinds() {
    const auto has_key = [](const Finding& finding) { return !finding.key.empty(); };
    const bool keyed =
        std::all_of(before_.begin(), before_.end(), has_key) && std::all_of(after_.begin(), after_.end(), has_key);
    std::map<std::pair<std::string, std::string>, Kind> kinds;
    const auto kind_of = [&](const Finding& finding) -> Kind& {
      return kinds[{finding.check, keyed ? finding.key : finding.fingerprint}];
    };
    for (std::size_t i = 0; i < before_.size(); ++i) kind_of(before_[i]).before.push_back(i);
    for (std::size_t i = 0; i < after_.size(); ++i) kind_of(after_[i]).after.push_back(i);
    for (const auto& [name, kind] : kinds) match_kind(kind);
  }

  void match_kind(const Kind& kind) {
    if (kind.before.size() == 1 && kind.after.size() == 1) {
      join(kind.before.front(), kind.after.front(), KnownBy::fingerprint, false);
      return;
    }
    std::vector<Candidate> candidates;
    for (const std::size_t i : kind.before)
      for (const std::size_t j : kind.after) {
        const double place = place_of(i, j).value_or(0);
        if (place > 0) candidates.push_back({place, i, j});
      }
    join_best(std::move(candidates), KnownBy::place);
    // What lies somewhere else, or nowhere, is told by its order alone.
    for (const std::size_t i : kind.before)
      for (const std::size_t j : kind.after)
        if (before_[i].fingerprint == after_[j].fingerprint)
          join(i, j, KnownBy::fingerprint, place_of(i, j).has_value());
  }

  void match_alike() {
    std::vector<Candidate> candidates;
    for (std::size_t i = 0; i < before_.size(); ++i)
      for (std::size_t j = 0; j < after_.size(); ++j) {
        if (taken_before_[i] || taken_after_[j] || !same_unit(before_[i], after_[j])) continue;
        const double words = likeness_of_words(features_before_[i], features_after_[j]);
        const double place = place_of(i, j).value_or(unknown_place);
        if (words >= least_likeness && place > 0) candidates.push_back({words + place, i, j});
      }
    join_best(std::move(candidates), KnownBy::likeness);
  }

  static bool same_unit(const Finding& a, const Finding& b) {
    const auto unit = [](const Finding& finding) { return finding.measured ? finding.measured->unit : std::string(); };
    return a.check == b.check && unit(a) == unit(b);
  }

  std::optional<double> place_of(std::size_t i, std::size_t j) const {
    return likeness_of_places(before_[i], after_[j], shift_);
  }

  void join_best(std::vector<Candidate> candidates, KnownBy known_by) {
    std::sort(candidates.begin(), candidates.end(), goes_first);
    for (const Candidate& one : candidates) join(one.before, one.after, known_by, false);
  }

  void join(std::size_t i, std::size_t j, KnownBy known_by, bool elsewhere) {
    if (taken_before_[i] || taken_after_[j]) return;
    taken_before_[i] = taken_after_[j] = true;
    matches_.push_back({i, j, known_by, elsewhere});
  }

  void add_the_rest() {
    for (std::size_t i = 0; i < before_.size(); ++i)
      if (!taken_before_[i]) matches_.push_back({i, std::nullopt, KnownBy::nothing, false});
    for (std::size_t j = 0; j < after_.size(); ++j)
      if (!taken_after_[j]) matches_.push_back({std::nullopt, j, KnownBy::nothing, false});
  }

  const std::vector<Finding>& before_;
  const std::vector<Finding>& after_;
  const PlateShift shift_;
  std::vector<Features> features_before_;
  std::vector<Features> features_after_;
  std::vector<bool> taken_before_;
  std::vector<bool> taken_after_;
  std::vector<Match> matches_;
};

}  // namespace

std::vector<Match> match(const FileReport& before, const FileReport& after) { return Matcher(before, after).matches(); }

}  // namespace beadwise
