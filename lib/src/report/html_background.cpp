#include "report/html_background.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "report/acceptance_text.hpp"
#include "report/background_text.hpp"
#include "report/figure_rows.hpp"
#include "report/html_finding.hpp"
#include "report/html_text.hpp"
#include "report/quantity.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

struct ValueAsText {
  std::string operator()(double value) const { return spoken(value, 4); }
  std::string operator()(const std::string& value) const { return value; }
  std::string operator()(bool value) const { return value ? "true" : "false"; }
  std::string operator()(const Range& value) const {
    return fmt::format("{} to {}", spoken(value.low, 3), spoken(value.high, 3));
  }
};

/// A table that scrolls within itself where the page is narrow; its rows are made.
std::string table(std::string_view caption, std::initializer_list<std::string_view> columns, const std::string& rows) {
  std::string out = fmt::format(
      "<div class=\"wide\" role=\"group\" tabindex=\"0\" aria-label=\"{0}\"><table><caption>{0}</caption><thead><tr>",
      escaped(caption));
  for (const std::string_view column : columns)
    out += fmt::format("<th scope=\"col\"{}>{}</th>", column == "what" ? " class=\"text\"" : "", escaped(column));
  return out + "</tr></thead><tbody>" + rows + "</tbody></table></div>";
}

template <class Number>
std::string span(Number first, Number last) {
  if (first == 0) return "–";
  return first == last ? fmt::format("{}", first) : fmt::format("{} to {}", first, last);
}

std::string extent(const Places& places, int axis) {
  if (!places.has_box()) return "–";
  const std::string low = spoken(places.low(axis), 1);
  const std::string high = spoken(places.high(axis), 1);
  return low == high ? low : low + " to " + high;
}

std::string row_of(const Finding& finding, std::size_t number, std::string_view finding_id) {
  std::vector<std::string> symptoms;
  for (const Symptom symptom : finding.symptoms) symptoms.emplace_back(to_string(symptom));
  const Places& places = finding.places;
  std::string out = fmt::format(
      "<tr><th scope=\"row\"><a href=\"#{}{}\">{}</a></th><td>{}</td><td>{}</td><td>{}</td><td class=\"text\">{}</td>",
      finding_id, number, number, severity_sign(finding.severity) + (finding.accepted ? ", accepted" : ""),
      escaped(finding.check), symptoms.empty() ? std::string("–") : escaped(listed(symptoms)), prose(finding.what));
  out += finding.measured
             ? fmt::format("<td>{}</td><td>{}</td>", escaped(quantity(finding.measured->value, finding.measured->unit)),
                           escaped(quantity(finding.measured->limit, finding.measured->unit)))
             : std::string("<td>–</td><td>–</td>");
  out += fmt::format("<td>{}</td><td>{}</td><td>{}</td>", std::max<std::uint64_t>(places.count(), 1),
                     span(places.first_layer(), places.last_layer()), span(places.first_line(), places.last_line()));
  for (int axis = 0; axis < 3; ++axis) out += fmt::format("<td>{}</td>", extent(places, axis));
  return out + fmt::format("<td><code>{}</code></td></tr>", escaped(finding.fingerprint));
}

std::string heading_of(int level, std::string_view text) { return fmt::format("<h{0}>{1}</h{0}>", level, text); }

std::string assumptions_of(const FileReport& report, int heading) {
  if (report.assumptions.empty()) return {};
  std::string rows;
  for (const Assumption& assumption : report.assumptions)
    rows +=
        fmt::format("<tr><th scope=\"row\"><code>{}</code></th><td>{}</td><td>{}</td><td class=\"text\">{}</td></tr>",
                    escaped(assumption.key), escaped(std::visit(ValueAsText{}, assumption.value)),
                    to_string(assumption.from), prose(assumption.because));
  return heading_of(heading, "What this stands on") +
         "<p>Where a value is not yours, state your own: <code>--set KEY=VALUE</code>, or the same key in a profile "
         "(<code>beadwise.toml</code>).</p>" +
         table("Values in use", {"key", "value", "from", "because"}, rows);
}

std::string unseen_of(const FileReport& report, int heading) {
  if (report.unseen.empty() && report.unknown.empty()) return {};
  std::string out = heading_of(heading, "What the file hides") + "<ul class=\"plain\">";
  for (const std::string& sentence : report.unseen) out += "<li>" + prose(sentence) + "</li>";
  if (!report.unknown.empty()) {
    out += "<li>Commands passed over: ";
    std::vector<std::string> names;
    for (const NamedCount& command : report.unknown)
      names.push_back(fmt::format("<code>{}</code>{}", escaped(command.name),
                                  command.count == 1 ? std::string() : fmt::format(" ({} times)", command.count)));
    out += listed(names) + ".</li>";
  }
  return out + "</ul>";
}

std::string unused_of(const FileReport& report) {
  const std::vector<std::string> sentences = unused_in_words(report);
  if (sentences.empty()) return {};
  std::string out = "<p>Accepted, but not found:</p><ul class=\"plain\">";
  for (const std::string& sentence : sentences) out += "<li>" + prose(sentence) + "</li>";
  return out + "</ul>";
}

std::string checks_of(const FileReport& report, int heading) {
  if (report.checks.empty()) return {};
  std::vector<std::string> silent;
  std::string skipped;
  for (const CheckState& state : report.checks) {
    if (state.ran && state.findings == 0) silent.push_back(state.check);
    if (!state.ran)
      skipped += fmt::format("<tr><th scope=\"row\">{}</th><td class=\"text\">{}</td></tr>", escaped(state.check),
                             prose(state.because.value_or("")));
  }
  std::string out = heading_of(heading, "What was looked for");
  out += fmt::format("<p>{} ran.{}</p>", counted(checks_run(report), "check"),
                     silent.empty() ? std::string() : escaped(" Nothing found by " + listed(silent) + '.'));
  if (!skipped.empty()) out += table("Skipped checks", {"check", "why"}, skipped);
  return out + unused_of(report);
}

/// "filament_fed_mm" in words.
std::string spaced(std::string_view key) {
  std::string text(key);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

std::string figures_of(const FileReport& report, int heading) {
  if (!report.job) return {};
  std::string rows;
  for (const FigureRow& row : figure_rows(*report.job))
    if (!row.value.empty())
      rows +=
          fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td></tr>", escaped(spaced(row.key)), escaped(row.value));
  std::string out = heading_of(heading, "Figures of the job") + table("Figures", {"figure", "value"}, rows);
  if (!report.sha256.empty())
    out += fmt::format("<p class=\"hash\">SHA-256 of the file: <code>{}</code></p>", escaped(report.sha256));
  return out;
}

}  // namespace

std::string findings_table_html(const FileReport& report, std::string_view finding_id, int heading) {
  if (report.findings.empty()) return {};
  std::string rows;
  std::size_t number = 0;
  for (const Finding& finding : report.findings) rows += row_of(finding, ++number, finding_id);
  return heading_of(heading, "Everything in a table") +
         table("All findings",
               {"no.", "how bad", "check", "seen as", "what", "measured", "limit", "places", "layers", "lines", "X mm",
                "Y mm", "Z mm", "fingerprint"},
               rows);
}

std::string background_html(const FileReport& report, int heading) {
  return unseen_of(report, heading) + assumptions_of(report, heading) + checks_of(report, heading) +
         figures_of(report, heading);
}

}  // namespace beadwise
