#include "text/block_reader.hpp"

#include <algorithm>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>

#include "beadwise/error.hpp"
#include "text/gunzip.hpp"
#include "text/line_ends.hpp"
#include "text/stored_bytes.hpp"

namespace beadwise {

namespace {

// The end of the last whole line of `bytes` that ends at or after `from`, or 0. While more may follow, a CR at the very
// end is not one yet: its LF may be still to come.
std::size_t last_line_end(std::string_view bytes, std::size_t from, bool more_may_follow) {
  std::size_t at = bytes.size();
  if (more_may_follow && !bytes.empty() && bytes.back() == '\r') --at;
  for (; at > from; --at) {
    if (bytes[at - 1] == '\n' || bytes[at - 1] == '\r') return at;
  }
  return 0;
}

}  // namespace

struct BlockReader::State {
  State(const Source& source, std::size_t wanted_bytes)
      : name(source.name), block_bytes(std::max<std::size_t>(wanted_bytes, 1)), stored(source) {}

  void begin();
  void next_piece();
  void read_piece();
  void append_to(std::string& bytes);
  void gather(std::string& bytes);
  void number(Block& block);

  std::string name;
  std::size_t block_bytes;
  StoredBytes stored;
  std::optional<Gunzip> gunzip;
  std::string_view piece;  // unpacked, not yet handed out
  std::string rest;        // the beginning of a line that the last block did not hold
  bool begun = false;
  bool ended = false;
  std::string failure;  // why reading stopped early; thrown once the whole lines before it are handed out
  std::uint64_t whole_lines = 0;
  std::uint64_t open_lines = 0;
  std::uint64_t offset = 0;
};

void BlockReader::State::begin() {
  begun = true;
  next_piece();
  if (Gunzip::recognises(piece)) {
    gunzip.emplace(stored, piece);
    next_piece();
  }
  if (piece.substr(0, byte_order_mark.size()) != byte_order_mark) return;
  offset = byte_order_mark.size();
  piece.remove_prefix(byte_order_mark.size());
  if (piece.empty()) next_piece();
}

void BlockReader::State::next_piece() {
  try {
    read_piece();
  } catch (const DamagedGzip& damage) {
    failure = std::string(damage.what()) + ": pack or copy the job again";
  } catch (const std::system_error& error) {
    failure = "reading failed (" + error.code().message() + "): copy the file to a local disk and try again";
  }
  if (!failure.empty()) piece = {};
  ended = piece.empty();
}

void BlockReader::State::read_piece() { piece = gunzip ? gunzip->next() : stored.next(); }

void BlockReader::State::append_to(std::string& bytes) {
  const std::size_t missing = bytes.size() < block_bytes ? block_bytes - bytes.size() : block_bytes;
  const std::string_view part = piece.substr(0, missing);
  bytes.append(part);
  piece.remove_prefix(part.size());
  if (piece.empty()) next_piece();
}

void BlockReader::State::gather(std::string& bytes) {
  bytes.assign(rest);
  rest.clear();
  std::size_t searched = 0;
  std::size_t cut = 0;
  while (cut == 0 && !ended) {
    append_to(bytes);
    if (bytes.size() < block_bytes && !ended) continue;
    cut = last_line_end(bytes, searched, !ended);
    searched = bytes.size() - 1;  // a CR there may yet turn out to be a line end
  }
  if (ended && failure.empty()) return;  // the last block may end without a line end
  if (ended) cut = last_line_end(bytes, 0, false);
  if (failure.empty()) rest.assign(bytes, cut);
  bytes.resize(cut);
}

void BlockReader::State::number(Block& block) {
  block.first_line = whole_lines + 1;
  block.offset = offset;
  whole_lines += count_line_ends(block.bytes);
  open_lines = block.bytes.back() == '\n' || block.bytes.back() == '\r' ? 0 : 1;
  offset += block.bytes.size();
}

BlockReader::BlockReader(const Source& source, std::size_t block_bytes)
    : state_(std::make_unique<State>(source, block_bytes)) {}
BlockReader::~BlockReader() = default;
BlockReader::BlockReader(BlockReader&&) noexcept = default;
BlockReader& BlockReader::operator=(BlockReader&&) noexcept = default;

bool BlockReader::next(Block& block) {
  State& state = *state_;
  if (!state.begun) state.begin();
  state.gather(block.bytes);
  if (!block.bytes.empty()) {
    state.number(block);
    return true;
  }
  if (!state.failure.empty()) {
    const std::string count =
        state.whole_lines == 1 ? "1 whole line" : std::to_string(state.whole_lines) + " whole lines";
    throw Error(ErrorKind::file, state.name, state.whole_lines, 0,
                "only " + count + " could be read, then " + state.failure);
  }
  if (lines() == 0) {
    throw Error(ErrorKind::file, state.name, 0, 0, "the job is empty: slice or copy it again");
  }
  return false;
}

std::uint64_t BlockReader::bytes() const { return state_->offset; }
std::uint64_t BlockReader::lines() const { return state_->whole_lines + state_->open_lines; }
bool BlockReader::packed() const { return state_->gunzip.has_value(); }
std::string BlockReader::sha256() const { return state_->stored.sha256(); }

}  // namespace beadwise
