#include "cli/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace beadwise::cli {

namespace {

constexpr std::chrono::seconds patience{1};
constexpr std::chrono::milliseconds interval{200};
constexpr std::size_t name_bytes = 40;  // the line must not wrap: it is written over
constexpr double bytes_per_megabyte = 1e6;
constexpr std::string_view cleared = "\r\x1b[K";  // ECMA-48, erase in line

std::string plain_end_of(const std::string& name) {
  std::string end = name.size() <= name_bytes ? name : "..." + name.substr(name.size() - name_bytes);
  for (char& letter : end) {
    const auto byte = static_cast<unsigned char>(letter);
    if (byte < 0x20 || byte >= 0x7F) letter = '?';
  }
  return end;
}

void write_to_terminal(std::string_view text) {
  std::fwrite(text.data(), 1, text.size(), stderr);
  std::fflush(stderr);
}

}  // namespace

Progress::Progress() : on_terminal_(::isatty(STDERR_FILENO) == 1), next_(Clock::now() + patience) {}

Progress::~Progress() {
  if (shown_) write_to_terminal(cleared);
}

std::function<void(const std::string&, std::uint64_t)> Progress::callback() {
  if (!on_terminal_) return {};
  return [this](const std::string& name, std::uint64_t bytes) { show(name, bytes); };
}

void Progress::show(const std::string& name, std::uint64_t bytes) {
  const std::lock_guard lock(mutex_);
  const Clock::time_point now = Clock::now();
  if (now < next_) return;
  next_ = now + interval;
  shown_ = true;
  write_to_terminal(fmt::format("{}Reading {}: {:.0f} MB", cleared, plain_end_of(name),
                                static_cast<double>(bytes) / bytes_per_megabyte));
}

}  // namespace beadwise::cli
