#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/job.hpp"
#include "beadwise/profile.hpp"
#include "beadwise/report.hpp"

namespace beadwise {

/// What a person's words for a fault on a print may mean.
struct UnderstoodWords {
  std::vector<Symptom> symptoms;  ///< what they mean; where they are not clear, what they may mean; none: unknown
  bool clear = false;
};

/// Reads the name of a symptom, or an ordinary phrase such as "hairs between the letters"; English.
UnderstoodWords understand(std::string_view words);

/// What a person sees of a symptom, in a few plain words: "fine hairs or webs across gaps".
std::string_view seen_as(Symptom symptom);

/// All symptoms: what a person sees, and how people put it.
std::string symptoms_as_text(const TextStyle& style);
std::string symptoms_as_json();
std::string symptoms_as_markdown();

/// What was seen on the print, and where, as far as that is known.
struct Seen {
  std::vector<Symptom> symptoms;               ///< at least one
  std::optional<Range> layers;                 ///< from 1, both ends included
  std::optional<Range> height_mm;              ///< above the plate
  std::optional<std::array<double, 2>> at_mm;  ///< on the plate

  bool somewhere() const { return layers || height_mm || at_mm; }
};

/// How a finding lies to where something was seen.
enum class Nearness : std::uint8_t {
  there,      ///< it touches that place, or nobody said where
  before,     ///< it was laid or done earlier, or lower, and shows later
  perhaps,    ///< more places than a finding keeps: its span takes the place in, its worst places do not
  whole_job,  ///< it has no place: it holds for all
  elsewhere,  ///< it does not touch that place
};

/// "there", "before", "perhaps", "whole-job", "elsewhere".
std::string_view to_string(Nearness nearness);

/// A finding that explains what was seen, and how much it weighs.
struct Evidence {
  Finding finding;
  Nearness nearness = Nearness::there;
  double places_share = 1;  ///< of its places that lie where it was seen, earlier ones by half
  double score = 0;         ///< docs/diagnose.md says how
};

/// What one check found that explains what was seen.
struct Cause {
  std::string check;
  std::vector<Symptom> explains;
  double share = 0;                ///< of the evidence of all causes, 0 to 1
  std::vector<Evidence> evidence;  ///< the strongest first, at most `max_evidence`
  std::size_t findings = 0;        ///< how many there are
};

/// The most findings of one check that are told.
inline constexpr std::size_t max_evidence = 4;

/// A finding of a check that bears on the symptom, but not where it was seen.
struct FoundElsewhere {
  std::string check;
  Severity severity = Severity::note;
  std::string what;
  std::size_t findings = 0;  ///< of this check; `what` tells the first
};

/// What the file rules out.
struct RuledOut {
  std::string check;
  std::vector<Symptom> symptoms;
  std::string because;  ///< one sentence, with this file's figures
};

/// A check that bears on the symptom and could not judge the file.
struct NotJudged {
  std::string check;
  std::vector<Symptom> symptoms;
  std::string because;  ///< and how to let it judge
};

/// A sentence of a remedy that turns something up or down.
struct Advice {
  std::string check;
  Severity severity = Severity::note;
  bool explains = false;  ///< it is a cause; else the file has it besides
  std::string sentence;
};

/// Two remedies that pull one thing in opposite directions, and what to try first.
struct Pull {
  std::string over;  ///< "the nozzle's temperature"
  Advice up;
  Advice down;
  std::vector<std::string> order;  ///< what to try, in this order
};

/// What no file shows: to be looked at by hand.
struct Look {
  std::string what;  ///< "moist filament"
  std::string test;  ///< how to find out, with figures
  std::string source;
  std::vector<Symptom> symptoms;
};

/// From what was seen on a print to its causes.
struct Diagnosis {
  std::string file;
  std::string sha256;
  std::optional<std::string> failure;
  Seen seen;
  std::optional<JobFigures> job;
  std::vector<ObjectFigures> objects;
  std::vector<Cause> causes;  ///< the strongest first
  std::vector<Pull> pulls;
  std::vector<FoundElsewhere> elsewhere;
  std::vector<RuledOut> ruled_out;
  std::vector<NotJudged> not_judged;
  std::vector<Finding> faults;  ///< of the file as a whole: they may show as anything
  std::vector<Look> by_hand;
  std::vector<std::string> cautions;
  std::vector<Assumption> guesses;  ///< that the answer rests on and that nobody stated
  std::vector<std::string> unseen;
};

/// Ranks what a report found by how well it explains what was seen; says what it rules out, what pulls apart, and what
/// to look at by hand. `stated` is the profile in use, as far as the report does not tell it: melt zone and liner.
/// Heights are matched best where the report has its layers. Throws Error{usage} where nothing was printed at the
/// layer, height or place.
Diagnosis diagnose(const FileReport& report, const Seen& seen, const Profile& stated = {});

std::string diagnosis_as_text(const Diagnosis& diagnosis, const TextStyle& style);
/// JSON, diagnosis_version 1; docs/diagnose.md names its keys.
std::string diagnosis_as_json(const Diagnosis& diagnosis);
/// A reply to whoever showed the failed print (CommonMark).
std::string diagnosis_as_markdown(const Diagnosis& diagnosis);

}  // namespace beadwise
