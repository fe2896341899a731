#include "report/html_finding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <vector>

#include "report/acceptance_text.hpp"
#include "report/cautions.hpp"
#include "report/finding_text.hpp"
#include "report/html_picture.hpp"
#include "report/html_plan.hpp"
#include "report/html_text.hpp"
#include "report/quantity.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

std::string symptoms_of(const Finding& finding) {
  std::vector<std::string> names;
  for (const Symptom symptom : finding.symptoms) names.emplace_back(to_string(symptom));
  return listed(names);
}

std::string position_of(const Place& place) {
  return fmt::format("X {} Y {}", spoken(place.x_mm, 1), spoken(place.y_mm, 1));
}

std::string caption_of(const PictureView& view, const Finding& finding, const FileReport& report) {
  const LayerPicture& layer = *view.layer;
  const std::string of = report.job ? fmt::format(" of {}", report.job->layers) : std::string();
  std::string out =
      fmt::format("Layer {}{}, Z {} mm, from above; {}. Beads at true width, the bar is {} mm.", layer.layer, of,
                  spoken(layer.z_mm, 2), view.whole_layer ? "the whole layer" : "the small plan shows where on it",
                  spoken(scale_bar_mm(view.window), 1));
  if (!view.places.empty()) {
    const Place& worst = view.places.front();
    out += fmt::format(" Ring with ticks: the worst place, {}", position_of(worst));
    out += worst.line > 0 ? fmt::format(", line {}.", worst.line) : ".";
    if (view.places.size() > 1) out += " Plain rings: others.";
  }
  const bool marked = std::any_of(finding.marks.begin(), finding.marks.end(),
                                  [&](const Mark& mark) { return mark.layer == layer.layer; });
  if (marked) out += " Lines in the colour of the rings: what was found.";
  if (draws_travels(view)) out += " Thin lines: travels, dashed while the filament is pulled back.";
  if (layer.beads_left_out > 0)
    out += fmt::format(" {} of this layer, far from here, are not drawn.", counted(layer.beads_left_out, "bead"));
  return out;
}

std::string figure_of(const FileReport& report, const Finding& finding, const FindingOnPage& page) {
  if (!page.drawn || !report.pictures) return {};
  const std::optional<PictureView> view = first_view(finding, *report.pictures);
  if (!view) return {};
  const std::string label = fmt::format("Layer {} where finding {} lies", view->layer->layer, page.number);
  std::string out = "<figure class=\"place\">" + picture_svg(*view, finding, page.id, label);
  if (!view->whole_layer) out += plan_svg(*view, fmt::format("Where on layer {} that is", view->layer->layer));
  out += "<figcaption>" + escaped(caption_of(*view, finding, report)) + "</figcaption>";
  out += fmt::format(
      R"(<button type="button" class="step" hidden data-layer="{}"{}>Step through the layers here</button>)",
      view->layer->layer,
      view->places.empty() ? std::string()
                           : fmt::format(R"( data-x="{}" data-y="{}")", spoken(view->places.front().x_mm, 2),
                                         spoken(view->places.front().y_mm, 2)));
  return out + "</figure>";
}

/// A bar from nothing to what was measured, with a stroke at the limit.
std::string gauge(const Measured& measured) {
  const double most = std::max(std::abs(measured.value), std::abs(measured.limit));
  if (!std::isfinite(most) || most <= 0 || measured.value < 0 || measured.limit < 0) return {};
  constexpr double width = 100;
  return fmt::format(
      R"(<svg class="gauge" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">)"
      R"(<rect class="rail" y="3" width="100" height="4"/><rect class="value" y="3" width="{:.1f}" height="4"/>)"
      R"(<path class="limit" d="M{:.1f} 0V10"/></svg>)",
      width * measured.value / most, width * measured.limit / most);
}

std::string measure_of(const Finding& finding) {
  if (!finding.measured) return {};
  const Measured& measured = *finding.measured;
  return fmt::format("<div class=\"measure\"><p><b>{}</b> measured; the limit is <b>{}</b> ({})</p>{}</div>",
                     escaped(quantity(measured.value, measured.unit)), escaped(quantity(measured.limit, measured.unit)),
                     to_string(measured.limit_from), gauge(measured));
}

/// What the check looks for, in one sentence.
std::string about(std::string_view name) {
  for (const RegisteredCheck& check : all_checks())
    if (check.name == name) return "<p class=\"about\">" + prose(summary_of(check)) + "</p>";
  return {};
}

std::string objects_html(const FileReport& report, const Finding& finding) {
  const std::string objects = objects_of(finding, named_objects(report.objects));
  return objects.empty() ? objects : "<p class=\"objects\">It is " + escaped(objects) + ".</p>";
}

std::string part(const FindingOnPage& page, std::string_view kind, std::string_view title, const std::string& text) {
  if (text.empty()) return {};
  return fmt::format("<h{0} class=\"{1}\">{2}</h{0}><p class=\"{1}\">{3}</p>", page.heading + 1, kind, title,
                     prose(text));
}

std::string known(const Finding& finding) {
  if (!finding.accepted) return {};
  return "<p class=\"known\"><b>Accepted</b>: " + prose(accepted_in_words(*finding.accepted)) + "</p>";
}

std::string cautions_of(const Finding& finding) {
  const std::vector<std::string_view> cautions = cautions_for(finding);
  if (cautions.empty()) return {};
  std::string out = "<div class=\"caution\"><b>Mind</b><ul>";
  for (const std::string_view caution : cautions) out += "<li>" + escaped(caution) + "</li>";
  return out + "</ul></div>";
}

template <class Number>
std::string cell(Number value, bool known) {
  return known ? fmt::format("<td>{}</td>", value) : std::string("<td>–</td>");
}

std::string row_of(const Place& place, const std::optional<Measured>& measured) {
  std::string out = "<tr>" + cell(place.line, place.line > 0) + cell(place.layer, place.layer > 0);
  out += cell(spoken(place.x_mm, 2), place.has_position) + cell(spoken(place.y_mm, 2), place.has_position) +
         cell(spoken(place.z_mm, 2), place.has_position);
  if (measured) out += cell(escaped(quantity(place.value, measured->unit)), true);
  return out + "</tr>";
}

template <class Number>
std::string from_to(std::string_view name, Number first, Number last) {
  if (first == 0) return {};
  return first == last ? fmt::format(", {} {}", name, first) : fmt::format(", {}s {} to {}", name, first, last);
}

std::string places_of(const Finding& finding, const FindingOnPage& page) {
  const std::vector<Place> worst = finding.places.worst();
  if (worst.empty()) return {};
  const Places& all = finding.places;
  std::string out = fmt::format(
      "<details><summary>{}{}{}</summary><div class=\"wide\" role=\"group\" tabindex=\"0\" aria-label=\"Places of "
      "finding {}\"><table><caption>{}</caption><thead><tr><th scope=\"col\">line</th><th scope=\"col\">layer</th>"
      "<th scope=\"col\">X mm</th><th scope=\"col\">Y mm</th><th scope=\"col\">Z mm</th>",
      counted(all.count(), "place"), from_to("layer", all.first_layer(), all.last_layer()),
      from_to("line", all.first_line(), all.last_line()), page.number,
      all.count() > worst.size() ? fmt::format("The worst {} of {}", worst.size(), all.count())
                                 : std::string("Every place, the worst first"));
  if (finding.measured) out += "<th scope=\"col\">value</th>";
  out += "</tr></thead><tbody>";
  for (const Place& place : worst) out += row_of(place, finding.measured);
  return out + "</tbody></table></div></details>";
}

}  // namespace

std::string title_of(std::string_view check) {
  std::string title(check);
  std::replace(title.begin(), title.end(), '-', ' ');
  if (!title.empty()) title.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(title.front())));
  return title;
}

std::string finding_html(const FileReport& report, const Finding& finding, const FindingOnPage& page) {
  const std::string symptoms = symptoms_of(finding);
  std::string out = fmt::format(
      "<article class=\"finding {0}\" id=\"{1}\" aria-labelledby=\"{1}-t\"><p class=\"count\" aria-hidden=\"true\">{2}"
      "</p><header><h{3} id=\"{1}-t\"><span class=\"hide\">Finding {2}: </span>{4}</h{3}><p>{5}{6}</p>{7}</header>",
      finding.accepted ? std::string_view("accepted") : to_string(finding.severity), page.id, page.number, page.heading,
      escaped(title_of(finding.check)), severity_sign(finding.severity) + (finding.accepted ? ", accepted" : ""),
      symptoms.empty() ? std::string() : fmt::format(" <span class=\"seen\">seen as {}</span>", symptoms),
      about(finding.check));
  out += figure_of(report, finding, page);
  out += "<div class=\"say\">" + known(finding) + part(page, "what", "What", finding.what) +
         part(page, "why", "Why", finding.why);
  out += part(page, "now", "What now", finding.remedy) + cautions_of(finding) + measure_of(finding) +
         objects_html(report, finding);
  return out + places_of(finding, page) + "</div></article>\n";
}

}  // namespace beadwise
