#include "report/finding_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "report/acceptance_text.hpp"
#include "report/paint.hpp"
#include "report/spoken.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr std::size_t places_told = 3;
constexpr std::size_t objects_told = 8;

std::string headline(std::size_t number, const Finding& finding, const TextStyle& style) {
  std::string symptoms;
  for (const Symptom symptom : finding.symptoms) {
    symptoms += symptoms.empty() ? ": " : ", ";
    symptoms += to_string(symptom);
  }
  const std::string name = fmt::format("{}. {}{} {}", number, finding.accepted ? "accepted " : "",
                                       in_capitals(to_string(finding.severity)), shown(finding.check));
  std::string out = hanging("", name + symptoms, style.width);
  if (!out.starts_with(name)) return out;
  const Tone tone = finding.accepted ? Tone::faint : tone_of(finding.severity);
  return painted(name, tone, style.color) + out.substr(name.size());
}

std::string with_unit(double value, const std::string& unit) {
  const std::string number = spoken(value, 3);
  return unit.empty() ? number : number + ' ' + unit;
}

std::string told(const Place& place) {
  std::vector<std::string> parts;
  if (place.layer > 0) parts.push_back(fmt::format("layer {}", place.layer));
  if (place.has_position) {
    parts.push_back(fmt::format("X {} Y {} Z {}", spoken(place.x_mm, 1), spoken(place.y_mm, 1), spoken(place.z_mm, 2)));
  }
  if (place.line > 0) parts.push_back(fmt::format("line {}", place.line));
  return fmt::format("{}", fmt::join(parts, ", "));
}

template <class Number>
std::string from_to(std::string_view singular, Number first, Number last) {
  if (first == 0) return {};
  if (first == last) return fmt::format("{} {}", singular, first);
  return fmt::format("{}s {} to {}", singular, first, last);
}

/// Where all places together lie, where more were found than are told one by one.
std::string spread(const Finding& finding, std::size_t told_count) {
  const Places& places = finding.places;
  if (places.count() <= told_count) return {};
  std::vector<std::string> spans;
  if (places.first_layer() > 0) spans.push_back(from_to("layer", places.first_layer(), places.last_layer()));
  if (places.first_line() > 0) spans.push_back(from_to("line", places.first_line(), places.last_line()));
  const std::string all = counted(places.count(), "place");
  if (spans.empty()) return all + " in all";
  return fmt::format("{} in all: {}", all, fmt::join(spans, ", "));
}

std::string where(const Finding& finding, const std::vector<ObjectFigures>& on_plate, const TextStyle& style) {
  std::string out;
  for (const std::string& line : where_in_words(finding, on_plate))
    out += labelled(out.empty() ? "Where" : "", line, style);
  return out;
}

}  // namespace

std::string in_capitals(std::string_view word) {
  std::string out(word);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char letter) { return static_cast<char>(std::toupper(letter)); });
  return out;
}

std::string labelled(std::string_view label, const std::string& text, const TextStyle& style) {
  if (text.empty()) return {};
  const std::string plain = "   " + left_aligned(label, 7);
  std::string out = hanging(plain, shown(text), style.width);
  out.replace(0, plain.size(), painted(plain, Tone::faint, style.color));
  return out;
}

std::string objects_of(const Finding& finding, const std::vector<ObjectFigures>& on_plate) {
  const std::size_t count = finding.objects.size();
  if (on_plate.size() < 2 || count == 0) return {};
  if (count == on_plate.size()) return fmt::format("on each of the {} objects", count);
  if (count == 1) {
    const auto object = std::find_if(on_plate.begin(), on_plate.end(),
                                     [&](const ObjectFigures& one) { return one.object == finding.objects.front(); });
    if (object == on_plate.end()) return {};
    return fmt::format("on object {}: X {} to {}, Y {} to {}", object->object, spoken(object->x_mm.low, 1),
                       spoken(object->x_mm.high, 1), spoken(object->y_mm.low, 1), spoken(object->y_mm.high, 1));
  }
  if (count > objects_told) return fmt::format("on {} of the {} objects", count, on_plate.size());
  std::vector<std::string> numbers;
  for (const std::uint32_t number : finding.objects) numbers.push_back(std::to_string(number));
  return fmt::format("on objects {}", listed(numbers));
}

std::vector<std::string> where_in_words(const Finding& finding, const std::vector<ObjectFigures>& on_plate) {
  std::vector<std::string> lines;
  const auto add = [&](std::string line) {
    if (!line.empty()) lines.push_back(std::move(line));
  };
  for (const Place& place : finding.places.worst()) {
    if (lines.size() == places_told) break;
    std::string text = told(place);
    if (text.empty()) continue;
    if (finding.measured && finding.places.count() > 1) text += ": " + with_unit(place.value, finding.measured->unit);
    add(std::move(text));
  }
  if (!lines.empty()) add(spread(finding, lines.size()));
  add(objects_of(finding, on_plate));
  return lines;
}

std::string limit_in_words(const Finding& finding) {
  if (!finding.measured) return {};
  const Measured& measured = *finding.measured;
  return fmt::format("{} ({}); here {}", with_unit(measured.limit, measured.unit), to_string(measured.limit_from),
                     spoken(measured.value, 3));
}

std::string finding_in_full(std::size_t number, const Finding& finding, const std::vector<ObjectFigures>& on_plate,
                            const TextStyle& style) {
  return headline(number, finding, style) + labelled("What", finding.what, style) +
         labelled("Why", finding.why, style) + labelled("Do", finding.remedy, style) + where(finding, on_plate, style) +
         labelled("Limit", limit_in_words(finding), style);
}

std::string finding_in_short(std::size_t number, const Finding& finding, const TextStyle& style) {
  const std::string known = finding.accepted ? accepted_in_words(*finding.accepted) : std::string();
  return headline(number, finding, style) + labelled("What", finding.what, style) + labelled("Known", known, style);
}

}  // namespace beadwise
