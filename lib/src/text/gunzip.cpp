#include "text/gunzip.hpp"

#include <new>

namespace beadwise {

namespace {

constexpr std::size_t piece_bytes = 128 * 1024;
constexpr int gzip_only = 16;  // zlib.h: added to the window bits, "decode only the gzip format"

Bytef* input_of(std::string_view piece) {
  // zlib declares its input without const unless ZLIB_CONST is defined; it does not write to it.
  return const_cast<Bytef*>(reinterpret_cast<const Bytef*>(piece.data()));
}

}  // namespace

Gunzip::Gunzip(StoredBytes& stored, std::string_view first) : stored_(stored), buffer_(piece_bytes) {
  stream_.next_in = input_of(first);
  stream_.avail_in = static_cast<uInt>(first.size());
  if (inflateInit2(&stream_, MAX_WBITS + gzip_only) != Z_OK) throw std::bad_alloc();
}

Gunzip::~Gunzip() { inflateEnd(&stream_); }

bool Gunzip::refill() {
  const std::string_view piece = stored_.next();
  stream_.next_in = input_of(piece);
  stream_.avail_in = static_cast<uInt>(piece.size());
  return !piece.empty();
}

std::string_view Gunzip::next() {
  if (damage_ != nullptr) throw DamagedGzip(damage_);
  stream_.next_out = buffer_.data();
  stream_.avail_out = static_cast<uInt>(buffer_.size());
  while (stream_.avail_out > 0 && !ended_ && damage_ == nullptr) unpack_some();
  const std::size_t unpacked = buffer_.size() - stream_.avail_out;
  if (unpacked == 0 && damage_ != nullptr) throw DamagedGzip(damage_);
  return {reinterpret_cast<const char*>(buffer_.data()), unpacked};
}

void Gunzip::unpack_some() {
  if (stream_.avail_in == 0 && !refill()) {
    damage_ = "the packed data stop early";
    return;
  }
  const int result = inflate(&stream_, Z_NO_FLUSH);
  if (result == Z_STREAM_END) return after_member();
  if (result == Z_MEM_ERROR) throw std::bad_alloc();
  if (result != Z_OK && result != Z_BUF_ERROR) damage_ = "the packed data are damaged";
}

void Gunzip::after_member() {
  while (true) {
    if (stream_.avail_in == 0 && !refill()) {
      ended_ = true;
      return;
    }
    // Tapes and block devices pad the file with zeros; gzip(1) passes over them too.
    if (*stream_.next_in != 0) break;
    ++stream_.next_in;
    --stream_.avail_in;
  }
  inflateReset(&stream_);
}

}  // namespace beadwise
