#include "report/html_layers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

#include "report/html_text.hpp"
#include "report/json_value.hpp"
#include "report/packed_layer.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

/// JSON that stays inside its script element whatever its texts hold.
std::string embedded(const Json& value) {
  std::string out;
  for (const char letter : value.dump(-1, ' ', false, Json::error_handler_t::replace)) {
    if (letter == '<') {
      out += "\\u003c";
    } else {
      out += letter;
    }
  }
  return out;
}

Json place_of(const Place& place) {
  return Json::array({place.layer, json_number(place.x_mm), json_number(place.y_mm)});
}

Json mark_of(const Mark& mark) {
  Json points = Json::array();
  for (const auto& point : mark.points_mm) points.push_back(json_pair(point[0], point[1]));
  return {{"layer", mark.layer}, {"width", json_number(mark.width_mm)}, {"points", points}};
}

Json finding_of(const Finding& finding, std::size_t number) {
  Json places = Json::array();
  for (const Place& place : finding.places.worst())
    if (place.has_position && place.layer > 0) places.push_back(place_of(place));
  Json marks = Json::array();
  for (const Mark& mark : finding.marks) marks.push_back(mark_of(mark));
  return {{"number", number},
          {"severity", to_string(finding.severity)},
          {"check", finding.check},
          {"places", places},
          {"marks", marks}};
}

/// Which layers fit: those of the worst findings first.
std::vector<bool> fitting(const Pictures& pictures, const std::vector<std::string>& data, std::size_t most_bytes) {
  std::vector<std::size_t> order(pictures.layers.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return pictures.layers[a].rank < pictures.layers[b].rank; });
  std::vector<bool> fits(order.size());
  std::size_t bytes = 0;
  for (const std::size_t index : order) {
    if (bytes + data[index].size() > most_bytes) continue;
    bytes += data[index].size();
    fits[index] = true;
  }
  return fits;
}

Json layers_of(const Pictures& pictures, std::size_t most_bytes) {
  std::vector<std::string> data;
  for (const LayerPicture& layer : pictures.layers) data.push_back(base64(deflated(packed(layer))));
  const std::vector<bool> fits = fitting(pictures, data, most_bytes);
  Json layers = Json::array();
  for (std::size_t i = 0; i < data.size(); ++i) {
    const LayerPicture& layer = pictures.layers[i];
    if (fits[i])
      layers.push_back({{"layer", layer.layer},
                        {"z", json_number(layer.z_mm)},
                        {"missing", layer.beads_left_out},
                        {"data", std::move(data[i])}});
  }
  return layers;
}

std::string button(std::string_view action, std::string_view label, std::string_view shown) {
  return fmt::format(R"(<button type="button" data-do="{}" aria-label="{}" title="{}">{}</button>)", action, label,
                     label, shown);
}

std::string controls() {
  return "<div class=\"controls\"><p class=\"stepping\">" + button("lower", "One layer down", "↓ down") +
         R"(<label><span class="hide">Layer kept</span><input type="range" data-do="layer" min="0" value="0"></label>)" +
         button("higher", "One layer up", "up ↑") +
         R"(</p><p class="laid"><label>Laid so far <input type="range" data-do="laid" min="0" max="1000" value="1000">)"
         R"(</label></p><p class="looking">)" +
         button("in", "Look closer", "+") + button("out", "Look from farther", "−") +
         button("left", "Move the view left", "←") + button("right", "Move the view right", "→") +
         button("back", "Move the view to the back", "↑") + button("front", "Move the view to the front", "↓") +
         button("whole", "Show the whole layer", "whole layer") +
         R"(</p><p class="showing"><label><input type="checkbox" data-do="travels"> travels</label>)"
         R"(<label><input type="checkbox" data-do="below" checked> the layer below</label></p></div>)";
}

std::string left_out_sentences(const Pictures& pictures, std::size_t left_out) {
  std::string out;
  for (const std::string& sentence : pictures.left_out) out += ' ' + escaped(sentence);
  if (left_out > 0) out += fmt::format(" {} found no room on this page.", counted(left_out, "layer"));
  return out;
}

}  // namespace

std::string layers_html(const FileReport& report, std::string_view finding_id, int heading, std::size_t most_bytes) {
  if (!report.pictures || report.pictures->layers.empty()) return {};
  Json layers = layers_of(*report.pictures, most_bytes);
  if (layers.empty()) return {};
  const std::size_t left_out = report.pictures->layers.size() - layers.size();
  Json findings = Json::array();
  for (std::size_t i = 0; i < report.findings.size(); ++i) findings.push_back(finding_of(report.findings[i], i + 1));
  const Json data = {{"id", finding_id}, {"layers", std::move(layers)}, {"findings", std::move(findings)}};
  return fmt::format(
      "<section class=\"layers\" hidden><h{0}>Layer by layer</h{0}><p>The layers that matter, as the nozzle lays them."
      " Keys on the picture: page up and page down change the layer, arrows move the view, + and − change how close it "
      "is.{1}</p><div class=\"bench\"><canvas tabindex=\"0\" role=\"img\" aria-label=\"Layer\"></canvas>"
      "<p class=\"here\" role=\"status\"></p>{2}</div><script type=\"application/json\">{3}</script></section>",
      heading, left_out_sentences(*report.pictures, left_out), controls(), embedded(data));
}

}  // namespace beadwise
