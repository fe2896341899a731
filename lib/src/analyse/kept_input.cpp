#include "analyse/kept_input.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <string>
#include <system_error>

#include "beadwise/error.hpp"
#include "text/stored_bytes.hpp"

namespace beadwise {

namespace {

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using OpenFile = std::unique_ptr<std::FILE, CloseFile>;

[[noreturn]] void fail(const Source& source, int error) {
  throw Error(ErrorKind::file, source.name, 0, 0,
              "cannot be kept in a temporary file to be read twice (" + std::generic_category().message(error) +
                  "): make room in TMPDIR, or name a file instead");
}

void copy(const Source& source, int descriptor) {
  OpenFile file(::fdopen(descriptor, "wb"));
  if (!file) {
    const int error = errno;
    ::close(descriptor);
    fail(source, error);
  }
  StoredBytes bytes(source);
  for (std::string_view piece = bytes.next(); !piece.empty(); piece = bytes.next())
    if (std::fwrite(piece.data(), 1, piece.size(), file.get()) != piece.size()) fail(source, errno);
  if (std::fclose(file.release()) != 0) fail(source, errno);
}

/// The temporary file's name, once all of the source is in it.
std::filesystem::path copied(const Source& source) {
  std::error_code error;
  const std::filesystem::path folder = std::filesystem::temp_directory_path(error);
  if (error) fail(source, error.value());
  std::string name = (folder / "beadwise-XXXXXX").string();
  const int descriptor = ::mkstemp(name.data());
  if (descriptor < 0) fail(source, errno);
  try {
    copy(source, descriptor);
  } catch (...) {
    std::filesystem::remove(name, error);
    throw;
  }
  return name;
}

}  // namespace

KeptInput::KeptInput(const Source& source) : source_(source) {
  if (source.kind != Source::Kind::standard_input) return;
  temporary_ = copied(source);
  source_.kind = Source::Kind::file;
  source_.path = temporary_;
}

KeptInput::~KeptInput() {
  std::error_code ignored;
  if (!temporary_.empty()) std::filesystem::remove(temporary_, ignored);
}

}  // namespace beadwise
