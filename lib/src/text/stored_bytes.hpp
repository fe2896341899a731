#pragma once

#include <nettle/sha2.h>

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/source.hpp"

namespace beadwise {

/// The bytes of a job as they are stored, in pieces, and their SHA-256.
class StoredBytes {
 public:
  /// Throws Error{file} with a sentence that says what to do where the job cannot be opened.
  explicit StoredBytes(const Source& source);
  ~StoredBytes();
  StoredBytes(const StoredBytes&) = delete;
  StoredBytes& operator=(const StoredBytes&) = delete;

  /// The next piece, empty at the end; it lives until the next call. Pieces are full except the last.
  /// Throws std::system_error where reading fails.
  std::string_view next();

  /// How many bytes were handed out so far.
  std::uint64_t bytes() const { return bytes_; }

  /// Lower-case hex, of all pieces handed out so far.
  std::string sha256() const;

 private:
  std::string_view next_of_memory();
  std::string_view next_of_descriptor();
  std::int64_t read_some(char* to, std::size_t wanted);

  Source::Kind kind_;
  int descriptor_ = -1;
  std::uint64_t bytes_ = 0;
  std::string memory_;
  std::size_t memory_read_ = 0;
  std::vector<char> buffer_;
  sha256_ctx hash_;
};

}  // namespace beadwise
