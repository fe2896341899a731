#include "report/background_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/acceptance_text.hpp"
#include "report/spoken.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr std::size_t terse_names = 3;
constexpr std::size_t terse_values = 8;

struct ValueAsToml {
  std::string operator()(double value) const { return spoken(value, 4); }
  std::string operator()(const std::string& value) const { return '"' + value + '"'; }
  std::string operator()(bool value) const { return value ? "true" : "false"; }
  std::string operator()(const Range& value) const {
    return fmt::format("[{}, {}]", spoken(value.low, 3), spoken(value.high, 3));
  }
};

std::string stated(const Assumption& assumption) {
  return assumption.key + " = " + std::visit(ValueAsToml{}, assumption.value);
}

bool by_a_person(const Assumption& assumption) {
  return assumption.from == Origin::profile || assumption.from == Origin::command_line;
}

std::string bullet(const std::string& text, const TextStyle& style) { return hanging("  ", shown(text), style.width); }

std::string title(std::string_view text, const TextStyle& style) {
  return '\n' + paragraph(std::string(text), Tone::strong, style);
}

/// All in one paragraph, for a file that leaves room for little else.
std::string assumed_in_short(const FileReport& report, Detail detail, const TextStyle& style) {
  std::vector<std::string> parts;
  for (const Assumption& assumption : report.assumptions) {
    if (!by_a_person(assumption)) parts.push_back(stated(assumption));
  }
  if (detail == Detail::terse && parts.size() > terse_values) {
    parts[terse_values] = fmt::format("{} more", parts.size() - terse_values);
    parts.resize(terse_values + 1);
  }
  return bullet(fmt::format("{}. The reasons: beadwise profile show FILE.", fmt::join(parts, "; ")), style);
}

std::string assumed_in_full(const FileReport& report, const TextStyle& style) {
  std::string out;
  for (const AssumedForReason& assumed : assumed_by_reason(report)) {
    const std::string because = assumed.because.empty() ? std::string() : ": " + assumed.because;
    const std::string text = fmt::format("{} ({}){}", fmt::join(assumed.values, "; "), assumed.origin, because);
    out += hanging("    ", shown(text), style.width).substr(2);
  }
  return out;
}

std::string assumed(const FileReport& report, Detail detail, const TextStyle& style) {
  if (std::all_of(report.assumptions.begin(), report.assumptions.end(), by_a_person)) return {};
  return title("Assumed; say otherwise with --set KEY=VALUE or in a beadwise.toml", style) +
         (detail == Detail::full ? assumed_in_full(report, style) : assumed_in_short(report, detail, style));
}

/// A macro that has a sentence of its own is not named again.
bool has_sentence(const FileReport& report, const std::string& name) {
  const std::string quoted = '`' + name + '`';
  return std::any_of(report.unseen.begin(), report.unseen.end(),
                     [&](const std::string& sentence) { return sentence.find(quoted) != std::string::npos; });
}

std::string passed_over(const FileReport& report, std::size_t most_names) {
  std::vector<std::string> names;
  for (const NamedCount& command : report.unknown) {
    if (has_sentence(report, command.name)) continue;
    names.push_back(command.count == 1 ? command.name : fmt::format("{} ({} times)", command.name, command.count));
  }
  if (names.empty()) return {};
  if (names.size() > most_names) {
    const std::size_t rest = names.size() - most_names;
    names.resize(most_names);
    // The list holds no more: how many commands there are beyond it is told by a sentence of its own.
    constexpr std::size_t most_listed = 20;
    names.push_back(report.unknown.size() < most_listed ? fmt::format("{} more", rest) : "others");
  }
  return "Commands passed over: " + listed(names) + '.';
}

std::string unseen(const FileReport& report, Detail detail, const TextStyle& style) {
  const bool terse = detail == Detail::terse;
  std::string out;
  for (const std::string& sentence : report.unseen) {
    out += bullet(sentence, style);
    if (!terse || report.unseen.size() == 1) continue;
    out += bullet(fmt::format("And {} more (--format json tells them).", report.unseen.size() - 1), style);
    break;
  }
  const std::string names = passed_over(report, terse ? terse_names : report.unknown.size());
  if (!names.empty()) out += bullet(names, style);
  return out.empty() ? out : title("Not seen", style) + out;
}

std::string skipped(const FileReport& report, Detail detail, const TextStyle& style) {
  std::string out;
  std::vector<std::string> all;
  for (const auto& [because, names] : skipped_by_reason(report)) {
    all.insert(all.end(), names.begin(), names.end());
    out += bullet("Skipped " + listed(names) + (because.empty() ? "." : ": " + because), style);
  }
  if (detail != Detail::terse || all.empty()) return out;
  return bullet(fmt::format("Skipped {} (--format json tells why).", listed(all)), style);
}

std::string checked(const FileReport& report, Detail detail, const TextStyle& style) {
  if (report.checks.empty()) return {};
  const auto silent =
      static_cast<std::uint64_t>(std::count_if(report.checks.begin(), report.checks.end(), [](const CheckState& state) {
        return state.ran && state.findings == 0;
      }));
  const std::uint64_t ran = checks_run(report);
  const std::string found = silent == ran ? " and found nothing" : fmt::format("; {} of them found nothing", silent);
  const std::string out =
      bullet(fmt::format("{} ran{} (beadwise checks lists them).", counted(ran, "check"), found), style);
  return title("Checked", style) + out + skipped(report, detail, style);
}

std::string unused(const FileReport& report, const TextStyle& style) {
  std::string out;
  for (const std::string& sentence : unused_in_words(report)) out += bullet(sentence, style);
  return out.empty() ? out : title("Accepted, but not found", style) + out;
}

}  // namespace

std::string background(const FileReport& report, Detail detail, const TextStyle& style) {
  return assumed(report, detail, style) + unseen(report, detail, style) + checked(report, detail, style) +
         unused(report, style);
}

std::vector<AssumedForReason> assumed_by_reason(const FileReport& report) {
  std::vector<AssumedForReason> groups;
  const Assumption* before = nullptr;
  for (const Assumption& assumption : report.assumptions) {
    const bool same_reason =
        before != nullptr && before->from == assumption.from && before->because == assumption.because;
    before = &assumption;
    if (by_a_person(assumption)) continue;
    const std::string_view origin = assumption.from == Origin::file ? "from the file" : "built-in";
    if (!same_reason) groups.push_back({{}, origin, assumption.because});
    groups.back().values.push_back(stated(assumption));
  }
  return groups;
}

std::vector<SkippedForReason> skipped_by_reason(const FileReport& report) {
  std::vector<SkippedForReason> groups;
  for (const CheckState& state : report.checks) {
    if (state.ran) continue;
    const std::string because = state.because.value_or("");
    const auto same = [&](const SkippedForReason& group) { return group.because == because; };
    auto group = std::find_if(groups.begin(), groups.end(), same);
    if (group == groups.end()) group = groups.insert(groups.end(), {because, {}});
    group->checks.push_back(state.check);
  }
  return groups;
}

std::uint64_t checks_run(const FileReport& report) {
  return static_cast<std::uint64_t>(
      std::count_if(report.checks.begin(), report.checks.end(), [](const CheckState& state) { return state.ran; }));
}

std::string paragraph(const std::string& text, Tone tone, const TextStyle& style) {
  std::string out;
  for (const std::string& line : wrapped(shown(text), style.width)) out += painted(line, tone, style.color) + '\n';
  return out;
}

}  // namespace beadwise
