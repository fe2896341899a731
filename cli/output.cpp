#include "cli/output.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <string>
#include <system_error>

#include "beadwise/error.hpp"
#include "cli/open_file.hpp"

namespace beadwise::cli {

namespace {

[[noreturn]] void fail(const std::filesystem::path& path, const std::error_code& trouble) {
  throw Error(ErrorKind::usage, path.string(), 0, 0, "cannot be written: " + trouble.message() + '.');
}

std::error_code last_trouble() { return {errno, std::generic_category()}; }

/// Whether everything went out, the last buffer too; else errno says why.
bool written(OpenFile file, std::string_view text) {
  const bool all = std::fwrite(text.data(), 1, text.size(), file.get()) == text.size();
  return std::fclose(file.release()) == 0 && all;
}

void write_in_place(const std::filesystem::path& path, std::string_view text) {
  OpenFile file(std::fopen(path.c_str(), "wb"));
  if (!file || !written(std::move(file), text)) fail(path, last_trouble());
}

/// Lets the signals that end a program wait while it lives, so that a file in the making is finished or taken away.
class SignalsWait {
 public:
  SignalsWait() {
    sigset_t ending;
    sigemptyset(&ending);
    for (const int signal : {SIGHUP, SIGINT, SIGQUIT, SIGTERM}) sigaddset(&ending, signal);
    ::pthread_sigmask(SIG_BLOCK, &ending, &before_);
  }
  ~SignalsWait() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
  SignalsWait(const SignalsWait&) = delete;
  SignalsWait& operator=(const SignalsWait&) = delete;

 private:
  sigset_t before_{};
};

/// Gives a new file what the one had that it takes the place of, or what any new file has.
void take_over_permissions(int descriptor, const std::filesystem::path& replaced) {
  struct stat old {};
  if (::stat(replaced.c_str(), &old) != 0) {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    ::fchmod(descriptor, 0666 & ~mask);
    return;
  }
  // Who may not give a file away keeps it, with the same permissions.
  if (::fchown(descriptor, old.st_uid, old.st_gid) != 0) errno = 0;
  ::fchmod(descriptor, old.st_mode & 07777);
}

void write_beside(const std::filesystem::path& path, const std::filesystem::path& target, std::string_view text) {
  constexpr std::string_view ending = ".part";
  std::string beside = (target.parent_path() / fmt::format("beadwise-XXXXXX{}", ending)).string();
  const SignalsWait wait;
  const int descriptor = ::mkostemps(beside.data(), static_cast<int>(ending.size()), O_CLOEXEC);
  if (descriptor < 0) fail(path, last_trouble());
  take_over_permissions(descriptor, target);
  OpenFile file(::fdopen(descriptor, "wb"));
  std::error_code trouble;
  if (!file || !written(std::move(file), text)) {
    trouble = last_trouble();
  } else {
    std::filesystem::rename(beside, target, trouble);
  }
  if (!trouble) return;
  ::unlink(beside.c_str());
  fail(path, trouble);
}

/// What a link leads to in the end, be it there or not.
std::filesystem::path behind_links(std::filesystem::path path) {
  constexpr int most_links = 40;  // path_resolution(7)
  std::error_code ignored;
  for (int i = 0; i < most_links && std::filesystem::is_symlink(path, ignored); ++i)
    path = path.parent_path() / std::filesystem::read_symlink(path, ignored);
  return path;
}

/// How many bytes at the beginning of a text are one letter that a terminal shows, in UTF-8; 0 where it would obey it.
std::size_t shown_bytes(std::string_view text) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
  if (byte(0) < 0x80) return byte(0) < 0x20 || byte(0) == 0x7F ? 0 : 1;
  const std::size_t length = byte(0) >= 0xF0 ? 4 : byte(0) >= 0xE0 ? 3 : 2;
  if (byte(0) < 0xC2 || byte(0) > 0xF4) return 0;
  if (length == 2 && byte(0) == 0xC2 && byte(1) < 0xA0) return 0;  // the control characters of ISO 6429
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(i) & 0xC0U) != 0x80) return 0;
  return length;
}

}  // namespace

void write_standard_output(std::string_view text) {
  const bool all = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (std::fflush(stdout) == 0 && all) return;
  if (errno == EPIPE) return;
  fail("standard output", last_trouble());
}

void write_file(const std::filesystem::path& path, std::string_view text) {
  std::error_code ignored;
  const std::filesystem::file_status status = std::filesystem::status(path, ignored);
  if (std::filesystem::is_directory(status)) fail(path, std::make_error_code(std::errc::is_a_directory));
  const bool there = std::filesystem::exists(status);
  // A pipe or a device is no file to be renamed over.
  if (there && !std::filesystem::is_regular_file(status)) return write_in_place(path, text);
  // A file that may not be written may not be replaced either, though its folder would allow it.
  if (there && ::faccessat(AT_FDCWD, path.c_str(), W_OK, AT_EACCESS) != 0) fail(path, last_trouble());
  // A link stays a link: what it points to is replaced.
  write_beside(path, behind_links(path), text);
}

void complain(std::string_view sentence) {
  std::string line = "beadwise: ";
  while (!sentence.empty()) {
    // What came from a command line or a file must not steer the terminal.
    const std::size_t shown = shown_bytes(sentence);
    if (shown > 0) line += sentence.substr(0, shown);
    if (shown == 0) line += '?';
    sentence.remove_prefix(std::max<std::size_t>(shown, 1));
  }
  line += '\n';
  std::fwrite(line.data(), 1, line.size(), stderr);
}

}  // namespace beadwise::cli
