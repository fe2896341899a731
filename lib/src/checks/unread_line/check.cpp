#include "beadwise/check.hpp"

#include <fmt/format.h>

#include <array>

#include "checks/support/complete_command.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/quote_of.hpp"

namespace beadwise::checks::unread_line {

const Description& describe() {
  static const Description description{.needs = Needs::moves,
                                       .severities = {Severity::note, Severity::warning},
                                       .symptoms = {},
                                       .thresholds = {},
                                       .judges_text = true};
  return description;
}

namespace {

/// One way in which something of a line is left out, and what it is called.
struct Kind {
  std::string_view key;
  std::string_view one;   ///< "A … was …"
  std::string_view many;  ///< after their number
  std::string_view remedy;
};

enum KindIndex : std::size_t {
  merge_mark,
  prose,
  command,
  placeholder,
  word,
  stray,
  repeated_word,
  repeated_command,
  too_many,
  no_mode,
  bad_value,
  zero_feed,
  kind_count
};

constexpr std::array<Kind, kind_count> kinds{{
    {"merge mark", "A mark that a merge of two versions left in the file stands between its lines",
     "marks that a merge of two versions left in the file stand between its lines",
     "Both versions are in the file now, one after the other: slice it again, or take one of them and the marks out"},
    {"prose", "A line is no G-code", "lines are no G-code",
     "If it is a comment that was wrapped, put `;` before it; else take it out"},
    {"command", "A command cannot be read, and its line is left out whole",
     "commands cannot be read, and their lines are left out whole",
     "Write the command with its number: `G0`, not `GO`"},
    {"placeholder", "A word was never filled in with its number", "words were never filled in with their numbers",
     "The start or end script names a setting that the slicing program does not know: correct the name there and slice "
     "again, or write the number itself"},
    {"word", "The number of a word cannot be read", "words have numbers that cannot be read",
     "Write it as digits with a point, without an exponent, and slice again where a program wrote it"},
    {"stray text", "Characters that belong to no word stand in a line",
     "times characters that belong to no word stand in a line",
     "Put `;` before what is meant for people, and type blanks anew where they were pasted from a page of text"},
    {"repeated word", "A letter stands twice on one line, and only the first counts here",
     "lines have a letter twice, and only the first counts here",
     "Machines differ in which of the two they take: keep one of them"},
    {"repeated command", "Two commands of one kind stand on a line, and only the first counts here",
     "lines have two commands of one kind, and only the first counts here",
     "Machines differ in which of the two they take: give each a line of its own"},
    {"too many words", "A line has more words than can be read", "lines have more words than can be read",
     "Give each command a line of its own"},
    {"no motion mode", "Coordinates stand on a line of their own before any motion command",
     "lines of coordinates stand before any motion command", "Put `G0` or `G1` before the first of them"},
    {"bad value", "A number is one that its command cannot have", "numbers are such as their commands cannot have",
     "Give it a number that it can have, or leave the word out"},
    {"zero feed", "A feed of zero or less is asked for, and the feed before it holds",
     "feeds of zero or less are asked for, and the feed before each holds",
     "Nothing has to be done where the machine goes on as before; some stand still for ever on it, so take it out"},
}};

bool starts_with(std::string_view text, std::string_view start) { return text.substr(0, start.size()) == start; }

bool is_merge_mark(std::string_view text) {
  const std::size_t start = text.find_first_not_of(" \t");
  if (start == std::string_view::npos) return false;
  text.remove_prefix(start);
  return starts_with(text, "<<<<<<<") || starts_with(text, "=======") || starts_with(text, ">>>>>>>") ||
         starts_with(text, "|||||||");
}

KindIndex kind_of(const Event& event) {
  if (event.kind == EventKind::zero_feed) return zero_feed;
  if (is_merge_mark(event.text)) return merge_mark;
  switch (event.trouble) {
    case TroubleKind::word:
      // Marks of templates, parameters and expressions: something should have put a number there.
      return event.text.find_first_of("{}[]?#<>$%") == std::string::npos ? word : placeholder;
    case TroubleKind::stray_text:
      return stray;
    case TroubleKind::command:
      return command;
    case TroubleKind::repeated_word:
      return repeated_word;
    case TroubleKind::dropped_words:
      return too_many;
    case TroubleKind::repeated_command:
      return repeated_command;
    case TroubleKind::no_motion_mode:
      return no_mode;
    case TroubleKind::bad_value:
      return bad_value;
    case TroubleKind::text_line:
      return prose;
  }
  return stray;
}

/// How many pieces of text a sentence repeats.
constexpr std::size_t most_examples = 3;

/// What was left out of one kind, with or without a motion or a heater lost by it.
struct Group {
  Places places;
  std::vector<Event> first;
};

class UnreadLine : public Check {
 public:
  explicit UnreadLine(const CheckContext& context) : name_(context.name) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) {
      if (event.kind != EventKind::unread && event.kind != EventKind::zero_feed) continue;
      const KindIndex kind = kind_of(event);
      const bool matters = kind == merge_mark || (event.kind == EventKind::unread && event.value > 0);
      Group& group = groups_[kind][matters];
      group.places.add(place_of(event, matters ? 1 : 0));
      if (group.first.size() < most_examples) group.first.push_back(event);
    }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    const std::uint64_t cut = cut_line(job);
    for (std::size_t kind = 0; kind < kind_count; ++kind) {
      for (const bool matters : {true, false}) {
        const Group& group = groups_[kind][matters];
        if (group.places.empty()) continue;
        // A line that was cut is one thing to act on, and truncated-file says it.
        if (group.places.count() == 1 && group.first.front().line == cut) continue;
        findings.add(finding(kinds[kind], group, matters));
      }
    }
  }

 private:
  Finding finding(const Kind& kind, const Group& group, bool matters) const {
    const std::uint64_t count = group.places.count();
    Finding finding;
    finding.check = name_;
    finding.severity = matters ? Severity::warning : Severity::note;
    finding.what = count == 1 ? std::string(kind.one) : fmt::format("{} {}", count, kind.many);
    finding.what += ": " + examples(group) + ".";
    finding.why = why(kind, matters);
    finding.remedy = fmt::format("{} (line {}).", kind.remedy, group.places.first_line());
    finding.key = fmt::format("{}{}", kind.key, matters ? ", motion or heater" : "");
    finding.places = group.places;
    return finding;
  }

  static std::string why(const Kind& kind, bool matters) {
    if (matters)
      return "A motion or a set point is lost or in doubt with it. A printer may refuse it, leave it out or take it "
             "for "
             "something else: the head goes elsewhere, or a heater is not set.";
    if (&kind == &kinds[repeated_word] || &kind == &kinds[repeated_command])
      return "Only one of the two can be meant, and a printer may take the one that was left out here.";
    return "What it says is left out here as a printer would leave it out. No place and no temperature depends on it.";
  }

  static std::string examples(const Group& group) {
    std::string text;
    for (const Event& event : group.first) {
      if (!text.empty()) text += ", ";
      text += event.text.empty() ? fmt::format("line {}", event.line)
                                 : fmt::format("{} at line {}", quote_of(event.text), event.line);
    }
    return group.places.count() > group.first.size() ? text + " and more" : text;
  }

  std::string name_;
  std::array<std::array<Group, 2>, kind_count> groups_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<UnreadLine>(context); }

}  // namespace beadwise::checks::unread_line
