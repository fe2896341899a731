#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>

#include "beadwise/source.hpp"

namespace beadwise {

/// A stretch of whole lines. Only the last block of a job may end without a line end.
struct Block {
  std::string bytes;             ///< a leading byte-order mark is already gone
  std::uint64_t first_line = 1;  ///< physical line number of the first line
  std::uint64_t offset = 0;      ///< of the first byte, in the (unpacked) job; counts the byte-order mark
};

/// Streams a job as blocks of whole lines. Lines end in LF, CRLF or CR; a CRLF is never split between blocks.
/// gzip input is known by its first bytes and unpacked on the way.
class BlockReader {
 public:
  static constexpr std::size_t default_block_bytes = 128 * 1024;
  /// A line of more bytes is none: a hole in a file, a device. No job comes near it, and it would fill the memory.
  static constexpr std::size_t most_line_bytes = 16 * 1024 * 1024;

  /// Throws Error{file} where the job cannot be opened.
  explicit BlockReader(const Source& source, std::size_t block_bytes = default_block_bytes);
  ~BlockReader();
  BlockReader(BlockReader&&) noexcept;
  BlockReader& operator=(BlockReader&&) noexcept;

  /// Fills `block` (its storage is reused) and says whether there was one. A line longer than a block grows the block.
  /// Throws Error{file}: an empty job, a read that fails, damaged gzip, a line without end, more than
  /// `Source::max_bytes` (with the number of the last whole line).
  bool next(Block& block);

  /// After the end. Of the unpacked job, byte-order mark included.
  std::uint64_t bytes() const;
  /// After the end. A last line without a line end counts.
  std::uint64_t lines() const;
  /// After the end. Whether the job is stored as gzip.
  bool packed() const;
  /// After the end. Lower-case hex, of the file as it is stored (packed bytes for gzip).
  std::string sha256() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace beadwise
