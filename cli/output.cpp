#include "cli/output.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
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

void write_beside(const std::filesystem::path& path, std::string_view text) {
  std::filesystem::path beside = path;
  beside += fmt::format(".part-{}", ::getpid());
  OpenFile file(std::fopen(beside.c_str(), "wbx"));
  if (!file) fail(path, last_trouble());
  std::error_code trouble;
  if (!written(std::move(file), text)) {
    trouble = last_trouble();
  } else {
    std::filesystem::rename(beside, path, trouble);
  }
  if (!trouble) return;
  std::error_code ignored;
  std::filesystem::remove(beside, ignored);
  fail(path, trouble);
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
  // A link stays a link: what it points to is replaced.
  const std::filesystem::path target =
      std::filesystem::is_symlink(path, ignored) ? std::filesystem::weakly_canonical(path, ignored) : path;
  const std::filesystem::file_status status = std::filesystem::status(target, ignored);
  // A pipe or a device is no file to be renamed over.
  const bool plain = !std::filesystem::exists(status) || std::filesystem::is_regular_file(status);
  if (std::filesystem::is_directory(status)) fail(path, std::make_error_code(std::errc::is_a_directory));
  return plain ? write_beside(target, text) : write_in_place(target, text);
}

void complain(std::string_view sentence) {
  std::string line = "beadwise: ";
  for (const char letter : sentence) {
    // What came from a command line or a file must not steer the terminal.
    const auto byte = static_cast<unsigned char>(letter);
    line += byte < 0x20 || byte == 0x7F ? '?' : letter;
  }
  line += '\n';
  std::fwrite(line.data(), 1, line.size(), stderr);
}

}  // namespace beadwise::cli
