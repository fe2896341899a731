#include "cli/input.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include "cli/open_file.hpp"

namespace beadwise::cli {

namespace {

constexpr std::size_t piece_bytes = 1 << 16;

[[noreturn]] void fail(const InputFile& file, const std::string& sentence) {
  throw Error(file.trouble, file.name(), 0, 0, sentence);
}

std::string whole(std::FILE* stream, const InputFile& file) {
  std::string text;
  std::size_t read = 0;
  do {
    const std::size_t before = text.size();
    text.resize(before + std::min(piece_bytes, file.most_bytes + 1 - before));
    read = std::fread(text.data() + before, 1, text.size() - before, stream);
    text.resize(before + read);
  } while (read > 0 && text.size() <= file.most_bytes);
  if (std::ferror(stream) != 0) {
    fail(file, fmt::format("cannot be read ({}).", std::generic_category().message(errno)));
  }
  if (text.size() > file.most_bytes) {
    fail(file, fmt::format("is too large for {}; name that, not a print.", file.contents));
  }
  return text;
}

}  // namespace

std::string bytes_of(const InputFile& file) {
  if (file.path == "-") return whole(stdin, file);
  std::error_code ignored;
  if (std::filesystem::is_directory(file.path, ignored)) {
    fail(file, fmt::format("is a folder; name {} in it.", file.contents));
  }
  const OpenFile stream(std::fopen(file.path.c_str(), "rb"));
  if (stream) return whole(stream.get(), file);
  const int trouble = errno;
  if (trouble == ENOENT || trouble == ENOTDIR) fail(file, "no such file: check the path.");
  fail(file, fmt::format("cannot be opened ({}).", std::generic_category().message(trouble)));
}

}  // namespace beadwise::cli
