#include "report/sarif_location.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/utf8.hpp"
#include "report/json_finding.hpp"
#include "report/quantity.hpp"
#include "report/sarif_text.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

/// The text as a reader has it who takes every stray byte for one U+FFFD.
std::string decoded(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const CodePoint letter = first_code_point(text);
    out += letter.valid ? text.substr(0, letter.bytes) : replacement_character;
    text.remove_prefix(letter.bytes);
  }
  return out;
}

/// Lines are counted from 1, columns too, offsets from 0; the end of a region is the column after its last letter
/// (section 3.30). Letters are code points, and a byte-order mark is none of them; bytes are all that the file has.
Json region(const FileReport& report, std::uint64_t line) {
  const auto spot = std::lower_bound(report.line_spots.begin(), report.line_spots.end(), line,
                                     [](const LineSpot& one, std::uint64_t wanted) { return one.line < wanted; });
  if (spot == report.line_spots.end() || spot->line != line) return {{"startLine", line}};
  Json region = {{"startLine", line},
                 {"startColumn", 1},
                 {"endLine", line},
                 {"endColumn", spot->chars + 1},
                 {"charOffset", spot->char_offset},
                 {"charLength", spot->chars},
                 {"byteOffset", spot->byte_offset},
                 {"byteLength", spot->bytes}};
  if (spot->text.size() == spot->bytes) region["snippet"] = {{"text", decoded(spot->text)}};
  return region;
}

/// Names that a new slicing keeps better than numbers of lines (section 3.28.4).
Json logical_locations(const FileReport& report, const Finding& finding, const Place& place) {
  const bool one_object = report.objects.size() > 1 && finding.objects.size() == 1;
  const std::string object = one_object ? fmt::format("object/{}", finding.objects.front()) : std::string();
  Json locations = Json::array();
  if (place.layer > 0)
    locations.push_back(
        {{"name", fmt::format("layer {}", place.layer)},
         {"fullyQualifiedName", fmt::format("{}{}layer/{}", object, one_object ? "/" : "", place.layer)},
         {"kind", "layer"}});
  else if (one_object)
    locations.push_back({{"name", fmt::format("object {}", finding.objects.front())},
                         {"fullyQualifiedName", object},
                         {"kind", "object"}});
  return locations;
}

std::string in_words(const Finding& finding, const Place& place) {
  std::vector<std::string> parts;
  if (place.layer > 0) parts.push_back(fmt::format("layer {}", place.layer));
  if (place.has_position)
    parts.push_back(fmt::format("X {} Y {} Z {}", spoken(place.x_mm, 1), spoken(place.y_mm, 1), spoken(place.z_mm, 2)));
  if (finding.measured) parts.push_back(quantity(place.value, finding.measured->unit));
  return fmt::format("Also here{}{}.", parts.empty() ? "" : ": ", fmt::join(parts, ", "));
}

void describe(Json& location, const FileReport& report, const Finding& finding, const Place& place,
              const SarifIndex& index) {
  location["physicalLocation"] = {{"artifactLocation", index.file(report.file)}};
  if (place.line > 0) location["physicalLocation"]["region"] = region(report, place.line);
  Json logical = logical_locations(report, finding, place);
  if (!logical.empty()) location["logicalLocations"] = std::move(logical);
  if (place.has_position) location["properties"] = {{"at_mm", to_json(place)["at_mm"]}};
}

}  // namespace

Json sarif_location(const FileReport& report, const Finding& finding, const Place& place, const SarifIndex& index) {
  Json location = Json::object();
  describe(location, report, finding, place, index);
  return location;
}

Json sarif_related_location(const FileReport& report, const Finding& finding, const Place& place, std::size_t number,
                            const SarifIndex& index) {
  Json location = {{"id", number}, {"message", {{"text", sarif_text(in_words(finding, place))}}}};
  describe(location, report, finding, place, index);
  return location;
}

}  // namespace beadwise
