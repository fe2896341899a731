#include "cli/terminal.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <string_view>

namespace beadwise::cli {

namespace {

// Below, columns of figures break; above, lines are too long to read.
constexpr std::size_t least_columns = 40;
constexpr std::size_t most_columns = 100;

std::string_view environment(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? std::string_view() : std::string_view(value);
}

bool wants_color(Color color) {
  if (color != Color::automatic) return color == Color::always;
  // no-color.org: set and not empty.
  return on_terminal() && environment("NO_COLOR").empty() && environment("TERM") != "dumb";
}

std::size_t columns() {
  winsize size{};
  if (!on_terminal() || ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) return TextStyle{}.width;
  if (size.ws_col == 0) return TextStyle{}.width;
  return std::clamp<std::size_t>(size.ws_col, least_columns, most_columns);
}

}  // namespace

bool on_terminal() { return ::isatty(STDOUT_FILENO) == 1; }

TextStyle terminal_style(const Options& options) {
  TextStyle style;
  style.color = wants_color(options.color);
  style.width = columns();
  style.quiet = options.quiet;
  return style;
}

TextStyle file_style(const Options& options) {
  TextStyle style;
  style.quiet = options.quiet;
  return style;
}

}  // namespace beadwise::cli
