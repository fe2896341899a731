#include "text/stored_bytes.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <system_error>

#include "beadwise/error.hpp"

namespace beadwise {

namespace {

// Reads of 64 to 256 KiB are quickest; mapping the file costs 1.7 to 3.3 times as much (docs/performance.md).
constexpr std::size_t piece_bytes = 128 * 1024;

std::string why_not_opened(int error) {
  if (error == ENOENT || error == ENOTDIR) return "no such file: check the path";
  if (error == EACCES || error == EPERM) return "may not be read by this user: change its permissions or copy it";
  if (error == ENXIO) return "is a socket, not a file: name a file";
  if (error == ELOOP) return "is a link that leads back to itself: name the file that it should lead to";
  if (error == ENAMETOOLONG) return "has too long a path: start beadwise in a folder nearer to it, or copy it";
  if (error == EMFILE || error == ENFILE) return "cannot be opened, since too many files are open: use fewer --threads";
  return "cannot be opened (" + std::generic_category().message(error) + "): copy it to a local disk and try again";
}

int open_file(const Source& source) {
  const int descriptor = ::open(source.path.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) throw Error(ErrorKind::file, source.name, 0, 0, why_not_opened(errno));
  struct stat status {};
  if (::fstat(descriptor, &status) == 0 && S_ISDIR(status.st_mode)) {
    ::close(descriptor);
    throw Error(ErrorKind::file, source.name, 0, 0, "is a folder, not a file: name a file in it");
  }
  return descriptor;
}

}  // namespace

StoredBytes::StoredBytes(const Source& source) : kind_(source.kind) {
  sha256_init(&hash_);
  if (kind_ == Source::Kind::memory) {
    memory_ = source.bytes;
    return;
  }
  descriptor_ = STDIN_FILENO;
  if (kind_ == Source::Kind::file) descriptor_ = open_file(source);
  if (kind_ == Source::Kind::open_file) descriptor_ = source.descriptor;
  buffer_.resize(piece_bytes);
}

StoredBytes::~StoredBytes() {
  if (kind_ == Source::Kind::file) ::close(descriptor_);
}

std::string_view StoredBytes::next() {
  const std::string_view piece = kind_ == Source::Kind::memory ? next_of_memory() : next_of_descriptor();
  bytes_ += piece.size();
  sha256_update(&hash_, piece.size(), reinterpret_cast<const std::uint8_t*>(piece.data()));
  return piece;
}

std::string_view StoredBytes::next_of_memory() {
  const std::string_view piece = std::string_view(memory_).substr(memory_read_, piece_bytes);
  memory_read_ += piece.size();
  return piece;
}

std::int64_t StoredBytes::read_some(char* to, std::size_t wanted) {
  if (kind_ != Source::Kind::open_file) return ::read(descriptor_, to, wanted);
  // Whoever else reads that file moves its position.
  return ::pread(descriptor_, to, wanted, static_cast<off_t>(bytes_ + static_cast<std::size_t>(to - buffer_.data())));
}

std::string_view StoredBytes::next_of_descriptor() {
  std::size_t filled = 0;
  // A pipe hands out less than asked for long before its end.
  while (filled < buffer_.size()) {
    const std::int64_t got = read_some(buffer_.data() + filled, buffer_.size() - filled);
    if (got == 0) break;
    if (got > 0) {
      filled += static_cast<std::size_t>(got);
    } else if (errno != EINTR) {
      throw std::system_error(errno, std::generic_category());
    }
  }
  return {buffer_.data(), filled};
}

std::string StoredBytes::sha256() const {
  std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
  sha256_ctx hash = hash_;  // taking the digest resets the state it is taken from
  sha256_digest(&hash, digest.size(), digest.data());
  std::string hex;
  for (const std::uint8_t byte : digest) {
    hex += "0123456789abcdef"[byte >> 4];
    hex += "0123456789abcdef"[byte & 15];
  }
  return hex;
}

}  // namespace beadwise
