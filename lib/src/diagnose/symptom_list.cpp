#include <fmt/format.h>

#include "beadwise/diagnose.hpp"
#include "beadwise/version.hpp"
#include "diagnose/symptom_guide.hpp"
#include "report/background_text.hpp"
#include "report/json_value.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

std::string quoted(const std::vector<std::string_view>& phrases) {
  std::string out;
  for (const std::string_view phrase : phrases) out += fmt::format("{}\"{}\"", out.empty() ? "" : ", ", phrase);
  return out;
}

}  // namespace

std::string symptoms_as_text(const TextStyle& style) {
  std::string out = paragraph("What can be seen on a print, and how people put it. Several --symptom may be given.",
                              Tone::strong, style);
  for (const SymptomGuide& guide : symptom_guides()) {
    out += painted(to_string(guide.symptom), Tone::strong, style.color) + '\n';
    out += hanging("    ", guide.seen, style.width);
    out += hanging("    ", quoted(guide.phrases), style.width);
  }
  return out;
}

std::string symptoms_as_json() {
  Json list = Json::array();
  for (const SymptomGuide& guide : symptom_guides())
    list.push_back({{"symptom", to_string(guide.symptom)}, {"seen", guide.seen}, {"phrases", guide.phrases}});
  return written({{"beadwise", version()}, {"symptoms", list}});
}

std::string symptoms_as_markdown() {
  std::string out = "| symptom | what a person sees | how people put it |\n| --- | --- | --- |\n";
  for (const SymptomGuide& guide : symptom_guides())
    out += fmt::format("| `{}` | {} | {} |\n", to_string(guide.symptom), guide.seen, quoted(guide.phrases));
  return out;
}

}  // namespace beadwise
