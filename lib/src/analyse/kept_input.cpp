#include "analyse/kept_input.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <string_view>
#include <system_error>

#include "beadwise/error.hpp"
#include "text/stored_bytes.hpp"

namespace beadwise {

namespace {

[[noreturn]] void fail(const Source& source, int error) {
  throw Error(ErrorKind::file, source.name, 0, 0,
              "cannot be kept in a temporary file to be read twice (" + std::generic_category().message(error) +
                  "): make room in TMPDIR, or name a file instead");
}

bool comes_once(const Source& source) {
  if (source.kind == Source::Kind::standard_input) return true;
  std::error_code ignored;
  return source.kind == Source::Kind::file && std::filesystem::is_fifo(source.path, ignored);
}

/// A temporary file whose name is gone already.
int nameless_file(const Source& source) {
  std::error_code error;
  const std::filesystem::path folder = std::filesystem::temp_directory_path(error);
  if (error) fail(source, error.value());
  std::string name = (folder / "beadwise-XXXXXX").string();
  const int descriptor = ::mkostemp(name.data(), O_CLOEXEC);
  if (descriptor < 0) fail(source, errno);
  ::unlink(name.c_str());
  return descriptor;
}

void write_all(const Source& source, int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno != EINTR) fail(source, errno);
    if (written > 0) bytes.remove_prefix(static_cast<std::size_t>(written));
  }
}

void copy(const Source& source, int descriptor) {
  StoredBytes bytes(source);
  for (std::string_view piece = bytes.next(); !piece.empty(); piece = bytes.next()) {
    write_all(source, descriptor, piece);
    // Packed bytes are never twice as many as they unpack to: the reader will stop before the end of these.
    if (source.max_bytes > 0 && bytes.bytes() / 2 > source.max_bytes + piece.size()) return;
  }
}

}  // namespace

KeptInput::KeptInput(const Source& source) : source_(source) {
  if (!comes_once(source)) return;
  temporary_ = nameless_file(source);
  try {
    copy(source, temporary_);
  } catch (const std::system_error& error) {
    ::close(temporary_);
    throw Error(ErrorKind::file, source.name, 0, 0, "reading failed (" + error.code().message() + "): name a file");
  } catch (...) {
    ::close(temporary_);
    throw;
  }
  source_.kind = Source::Kind::open_file;
  source_.descriptor = temporary_;
}

KeptInput::~KeptInput() {
  if (temporary_ >= 0) ::close(temporary_);
}

}  // namespace beadwise
