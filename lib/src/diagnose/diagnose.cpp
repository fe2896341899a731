#include "beadwise/diagnose.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "beadwise/check.hpp"
#include "diagnose/bearings.hpp"
#include "diagnose/by_hand.hpp"
#include "diagnose/file_figures.hpp"
#include "diagnose/pulls.hpp"
#include "diagnose/seen_place.hpp"
#include "report/cautions.hpp"

namespace beadwise {

namespace {

// The contract of severities: fails the print; likely to show; worth knowing. Each counts for three of the next.
constexpr double error_weight = 9;
constexpr double warning_weight = 3;
constexpr double note_weight = 1;
constexpr double most_times_over = 16;
constexpr double least_of_place = 0.25;
constexpr std::size_t most_elsewhere = 10;
constexpr std::size_t most_faults = 10;

template <class One>
bool holds(const std::vector<One>& list, const One& one) {
  return std::find(list.begin(), list.end(), one) != list.end();
}

double weight_of(Severity severity) {
  if (severity == Severity::error) return error_weight;
  return severity == Severity::warning ? warning_weight : note_weight;
}

/// From 1 at the limit to 2 at sixteen times the limit or beyond it, whichever way the limit lies.
double excess_of(const Finding& finding) {
  if (!finding.measured || finding.measured->value <= 0 || finding.measured->limit <= 0) return 1;
  const double ratio = finding.measured->value / finding.measured->limit;
  const double over = std::min(std::max(ratio, 1 / ratio), most_times_over);
  return 1 + std::log2(over) / std::log2(most_times_over);
}

double place_of(const Touch& touch) {
  if (touch.nearness == Nearness::whole_job) return 1;
  return least_of_place + (1 - least_of_place) * touch.share;
}

/// A check and those of the seen symptoms that it bears on.
struct Bearer {
  std::string_view check;
  std::vector<const Bearing*> bearings;
};

std::vector<Bearer> bearers_of(const std::vector<Symptom>& symptoms) {
  std::vector<Bearer> bearers;
  for (const Bearing& bearing : bearings()) {
    if (!holds(symptoms, bearing.symptom)) continue;
    if (bearers.empty() || bearers.back().check != bearing.check) bearers.push_back({bearing.check, {}});
    bearers.back().bearings.push_back(&bearing);
  }
  return bearers;
}

std::vector<Symptom> symptoms_of(const std::vector<const Bearing*>& bearings) {
  std::vector<Symptom> symptoms;
  for (const Bearing* bearing : bearings) symptoms.push_back(bearing->symptom);
  return symptoms;
}

bool has_symptoms(std::string_view check) {
  const auto all = bearings();
  return std::any_of(all.begin(), all.end(), [&](const Bearing& bearing) { return bearing.check == check; });
}

/// One diagnosis at work.
class Work {
 public:
  Work(const FileReport& report, const Seen& seen, const Profile& stated)
      : report_(report), stated_(stated), place_(report, seen), figures_(report, stated) {
    out_.file = report.file;
    out_.sha256 = report.sha256;
    out_.failure = report.failure;
    out_.seen = seen;
    out_.job = report.job;
    out_.objects = named_objects(report.objects);
    out_.unseen = report.unseen;
  }

  Diagnosis answer() {
    for (const Bearer& bearer : bearers_of(out_.seen.symptoms)) judge(bearer);
    rank();
    out_.pulls = pulls_among(out_.causes, report_.findings);
    take_faults();
    take_guesses();
    out_.by_hand = looks_for(out_.seen.symptoms);
    take_cautions();
    return std::move(out_);
  }

 private:
  void judge(const Bearer& bearer) {
    const auto state = std::find_if(report_.checks.begin(), report_.checks.end(),
                                    [&](const CheckState& one) { return one.check == bearer.check; });
    if (state == report_.checks.end()) return;
    const std::vector<Symptom> explained = weigh(bearer);
    std::vector<const Bearing*> rest;
    for (const Bearing* bearing : bearer.bearings)
      if (!holds(explained, bearing->symptom)) rest.push_back(bearing);
    if (rest.empty()) return;
    const std::optional<std::string> why_not = why_not_judged(*state);
    if (why_not) {
      out_.not_judged.push_back({std::string(bearer.check), symptoms_of(rest), *why_not});
    } else {
      rule_out(bearer.check, rest);
    }
  }

  /// Takes what the check found as causes, or as found elsewhere; the symptoms that are dealt with so.
  std::vector<Symptom> weigh(const Bearer& bearer) {
    std::vector<Symptom> dealt_with;
    Cause cause;
    FoundElsewhere elsewhere;
    for (const Finding& finding : report_.findings) {
      if (finding.check != bearer.check) continue;
      Evidence evidence{finding, Nearness::elsewhere, 0, 0};
      bool bears = false;
      for (const Bearing* bearing : bearer.bearings) {
        if (!holds(finding.symptoms, bearing->symptom)) continue;
        bears = true;
        if (!holds(dealt_with, bearing->symptom)) dealt_with.push_back(bearing->symptom);
        const Touch touch = place_.touch(finding, bearing->reach);
        if (touch.nearness == Nearness::elsewhere) continue;
        if (!holds(cause.explains, bearing->symptom)) cause.explains.push_back(bearing->symptom);
        if (evidence.nearness == Nearness::elsewhere || touch.share > evidence.places_share) {
          evidence.nearness = touch.nearness;
          evidence.places_share = touch.share;
        }
        evidence.score +=
            weight_of(finding.severity) * excess_of(finding) * (bearing->main ? 1 : 0.5) * place_of(touch);
      }
      if (evidence.score > 0) {
        cause.evidence.push_back(std::move(evidence));
      } else if (bears && ++elsewhere.findings == 1) {
        elsewhere = {finding.check, finding.severity, finding.what, 1};
      }
    }
    if (elsewhere.findings > 0 && out_.elsewhere.size() < most_elsewhere) out_.elsewhere.push_back(elsewhere);
    if (!cause.evidence.empty()) add(bearer.check, std::move(cause));
    return dealt_with;
  }

  void add(std::string_view check, Cause cause) {
    cause.check = check;
    cause.findings = cause.evidence.size();
    std::stable_sort(cause.evidence.begin(), cause.evidence.end(),
                     [](const Evidence& a, const Evidence& b) { return a.score > b.score; });
    if (cause.evidence.size() > max_evidence) cause.evidence.resize(max_evidence);
    out_.causes.push_back(std::move(cause));
  }

  /// A check counts by its strongest finding: many notes make no error.
  void rank() {
    std::stable_sort(out_.causes.begin(), out_.causes.end(), [](const Cause& a, const Cause& b) {
      return a.evidence.front().score > b.evidence.front().score;
    });
    double all = 0;
    for (const Cause& cause : out_.causes) all += cause.evidence.front().score;
    for (Cause& cause : out_.causes) cause.share = cause.evidence.front().score / all;
  }

  std::optional<std::string> why_not_judged(const CheckState& state) const {
    if (!state.ran) return state.because.value_or("the check was skipped");
    if (report_.failure) return "the file could not be read to its end";
    if (state.check == "liner-overheat") return why_liner_is_open();
    return std::nullopt;
  }

  /// The check asks about a liner only where every one would suffer.
  std::optional<std::string> why_liner_is_open() const {
    if (stated_.machine.liner.known() || !report_.job || !report_.job->nozzle_c) return std::nullopt;
    constexpr double lined_c = 240;  // contract of machine.liner: above it a lined hot end is warned of
    if (report_.job->nozzle_c->high <= lined_c) return std::nullopt;
    return fmt::format(
        "the nozzle is set to {:.0f} °C, and nobody stated whether a fluoropolymer liner reaches its hot zone, which "
        "stands 240 °C; look it up in the manual of the hot end and state it: --set machine.liner=true, or false",
        report_.job->nozzle_c->high);
  }

  void rule_out(std::string_view check, const std::vector<const Bearing*>& rest) {
    for (const Bearing* bearing : rest) {
      const std::string because = figures_.filled(check, bearing->ruled_out);
      if (!out_.ruled_out.empty() && out_.ruled_out.back().check == check && out_.ruled_out.back().because == because) {
        out_.ruled_out.back().symptoms.push_back(bearing->symptom);
      } else {
        out_.ruled_out.push_back({std::string(check), {bearing->symptom}, because});
      }
    }
  }

  void take_faults() {
    for (const Finding& finding : report_.findings) {
      if (finding.severity < Severity::warning || has_symptoms(finding.check)) continue;
      if (out_.faults.size() < most_faults) out_.faults.push_back(finding);
    }
  }

  void take_guesses() {
    std::vector<std::string_view> keys;
    for (const Bearer& bearer : bearers_of(out_.seen.symptoms))
      for (const std::string_view key : rests_on(bearer.check)) keys.push_back(key);
    for (const Assumption& assumption : report_.assumptions) {
      const bool stated = assumption.from == Origin::profile || assumption.from == Origin::command_line;
      if (!stated && holds(keys, std::string_view(assumption.key))) out_.guesses.push_back(assumption);
    }
    const Setting<double>& zone = stated_.machine.melt_zone_mm;
    if (zone.known() && !zone.stated() && holds(keys, std::string_view("machine.melt_zone_mm")))
      out_.guesses.push_back({"machine.melt_zone_mm", *zone, zone.from, zone.because});
  }

  /// What to mind at the bench holds for every answer; what a remedy brings along stands behind it.
  void take_cautions() {
    out_.cautions = bench_cautions();
    for (const Cause& cause : out_.causes)
      for (const Evidence& evidence : cause.evidence)
        for (const std::string_view caution : cautions_for(evidence.finding))
          if (!holds(out_.cautions, std::string(caution))) out_.cautions.emplace_back(caution);
  }

  const FileReport& report_;
  const Profile& stated_;
  SeenPlace place_;
  FileFigures figures_;
  Diagnosis out_;
};

}  // namespace

std::string_view to_string(Nearness nearness) {
  constexpr std::array<std::string_view, 5> names = {"there", "before", "perhaps", "whole-job", "elsewhere"};
  return names.at(static_cast<std::size_t>(nearness));
}

Diagnosis diagnose(const FileReport& report, const Seen& seen, const Profile& stated) {
  return Work(report, seen, stated).answer();
}

}  // namespace beadwise
