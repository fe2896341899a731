#include "property/alike.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace beadwise::tests {

namespace {

using Json = nlohmann::ordered_json;

bool close(double a, double b, const Likeness& likeness) {
  return std::fabs(a - b) <= likeness.absolute + likeness.relative * std::max(std::fabs(a), std::fabs(b));
}

/// A sentence without its figures, and the figures, each with the size of its last place.
struct Sentence {
  std::string words;
  std::vector<double> figures;
  std::vector<double> last_places;
};

Sentence taken_apart(const std::string& text) {
  Sentence sentence;
  for (std::size_t at = 0; at < text.size();) {
    if (std::isdigit(static_cast<unsigned char>(text[at])) == 0) {
      sentence.words += text[at++];
      continue;
    }
    std::size_t length = 0;
    sentence.figures.push_back(std::stod(text.substr(at), &length));
    const std::string figure = text.substr(at, length);
    const std::size_t point = figure.find('.');
    const std::size_t decimals = point == std::string::npos ? 0 : figure.size() - point - 1;
    sentence.last_places.push_back(std::pow(10, -static_cast<double>(decimals)));
    sentence.words += '#';
    at += length;
  }
  return sentence;
}

/// Figures that were rounded for reading may differ by one in their last place.
bool alike(const std::string& a, const std::string& b, const Likeness& likeness) {
  if (a == b) return true;
  if (likeness.relative == 0) return false;
  const Sentence left = taken_apart(a);
  const Sentence right = taken_apart(b);
  if (left.words != right.words || left.figures.size() != right.figures.size()) return false;
  for (std::size_t index = 0; index < left.figures.size(); ++index) {
    Likeness rounded = likeness;
    rounded.absolute += 1.01 * std::max(left.last_places[index], right.last_places[index]);
    if (!close(left.figures[index], right.figures[index], rounded)) return false;
  }
  return true;
}

void compare(const Json& a, const Json& b, const Likeness& likeness, const std::string& path,
             std::vector<std::string>& found) {
  if (a.is_object() && b.is_object()) {
    for (const auto& [key, value] : a.items()) {
      if (likeness.but_for.count(key) != 0) continue;
      if (b.contains(key))
        compare(value, b[key], likeness, path + '/' + key, found);
      else
        found.push_back(path + '/' + key + " is missing");
    }
    if (a.size() != b.size()) found.push_back(path + " has other keys");
    return;
  }
  if (a.is_array() && b.is_array() && a.size() == b.size()) {
    for (std::size_t index = 0; index < a.size(); ++index)
      compare(a[index], b[index], likeness, path + '/' + std::to_string(index), found);
    return;
  }
  const bool numbers = a.is_number() && b.is_number() && close(a.get<double>(), b.get<double>(), likeness);
  const bool sentences = a.is_string() && b.is_string() && alike(a.get<std::string>(), b.get<std::string>(), likeness);
  if (!numbers && !sentences && a != b) found.push_back(path + ": " + a.dump() + " and " + b.dump());
}

}  // namespace

std::vector<std::string> differences(const Json& a, const Json& b, const Likeness& likeness) {
  std::vector<std::string> found;
  compare(a, b, likeness, "", found);
  return found;
}

}  // namespace beadwise::tests
