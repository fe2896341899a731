#include "report/paint.hpp"

namespace beadwise {

namespace {

/// Select graphic rendition, ECMA-48 section 8.3.117.
std::string_view rendition(Tone tone) {
  switch (tone) {
    case Tone::plain:
      return "";
    case Tone::strong:
      return "1";
    case Tone::faint:
      return "2";
    case Tone::good:
      return "32";
    case Tone::note:
      return "36";
    case Tone::warning:
      return "1;33";
    case Tone::error:
      return "1;31";
  }
  return "";
}

}  // namespace

Tone tone_of(Severity severity) {
  switch (severity) {
    case Severity::note:
      return Tone::note;
    case Severity::warning:
      return Tone::warning;
    case Severity::error:
      return Tone::error;
  }
  return Tone::plain;
}

std::string painted(std::string_view text, Tone tone, bool color) {
  if (!color || tone == Tone::plain) return std::string(text);
  std::string out = "\x1b[";
  out += rendition(tone);
  out += 'm';
  out += text;
  out += "\x1b[0m";
  return out;
}

}  // namespace beadwise
