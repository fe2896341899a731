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

// Deflate sees 32 KiB back and packs at most 1032 to one (RFC 1951, section 3.2.5: 258 bytes in two bits); jobs pack 3
// to 20 to one (common practice). More than 200 takes layers that are all alike and of less than 32 KiB; a GiB of them
// are more than 32768 layers, higher than any machine prints.
constexpr std::uint64_t most_growth = 200;
constexpr std::uint64_t free_growth_bytes = std::uint64_t{1} << 30U;

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
      : name(source.name),
        block_bytes(std::clamp<std::size_t>(wanted_bytes, 1, most_line_bytes)),
        max_bytes(source.max_bytes),
        stored(source) {}

  void begin();
  void next_piece();
  void go_on();
  void stop(std::string because);
  void stop_at_limits();
  void append_to(std::string& bytes);
  void gather(std::string& bytes);
  void number(Block& block);

  std::string name;
  std::size_t block_bytes;
  std::uint64_t max_bytes;
  StoredBytes stored;
  std::optional<Gunzip> gunzip;
  std::string_view piece;  // unpacked, not yet handed out
  std::string rest;        // the beginning of a line that the last block did not hold
  bool begun = false;
  bool ended = false;
  std::uint64_t unpacked = 0;
  std::string limit_met;  // why no piece may follow the one in hand
  std::string failure;    // why reading stopped early; thrown once the whole lines before it are handed out
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
  stop_at_limits();
  if (piece.substr(0, byte_order_mark.size()) != byte_order_mark) return;
  offset = byte_order_mark.size();
  piece.remove_prefix(byte_order_mark.size());
  if (piece.empty()) go_on();
}

void BlockReader::State::next_piece() {
  try {
    piece = gunzip ? gunzip->next() : stored.next();
    ended = piece.empty();
  } catch (const DamagedGzip& damage) {
    stop(std::string(damage.what()) + ": pack or copy the job again");
  } catch (const std::system_error& error) {
    stop("reading failed (" + error.code().message() + "): copy the file to a local disk and try again");
  }
}

void BlockReader::State::stop(std::string because) {
  failure = std::move(because);
  piece = {};
  ended = true;
}

void BlockReader::State::go_on() {
  if (!limit_met.empty()) return stop(limit_met);
  next_piece();
  stop_at_limits();
}

void BlockReader::State::stop_at_limits() {
  const std::uint64_t before = unpacked;
  unpacked += piece.size();
  if (max_bytes > 0 && unpacked > max_bytes) {
    limit_met = "the limit of " + std::to_string(max_bytes) + " bytes was reached: allow more with --max-bytes";
    piece = piece.substr(0, max_bytes - before);
    if (piece.empty()) stop(limit_met);
  }
  if (max_bytes == 0 && gunzip && unpacked > free_growth_bytes && unpacked / most_growth > stored.bytes()) {
    stop("the packed data had grown to more than " + std::to_string(most_growth) +
         " times their size, as those of no print do: slice or copy it again, or allow so many bytes with --max-bytes");
  }
}

void BlockReader::State::append_to(std::string& bytes) {
  const std::size_t missing = bytes.size() < block_bytes ? block_bytes - bytes.size() : block_bytes;
  const std::string_view part = piece.substr(0, std::min(missing, most_line_bytes - bytes.size()));
  bytes.append(part);
  piece.remove_prefix(part.size());
  if (piece.empty()) go_on();
}

void BlockReader::State::gather(std::string& bytes) {
  bytes.assign(rest);
  rest.clear();
  std::size_t searched = 0;
  std::size_t cut = 0;
  while (cut == 0 && !ended) {
    if (bytes.size() >= most_line_bytes) {
      stop("a line has no end within 16 MiB: slice or copy the job again");
      break;
    }
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
