#include "support/gzip.hpp"

#include <zlib.h>

#include <stdexcept>

namespace beadwise::tests {

std::string gzip(std::string_view bytes) {
  constexpr int window_bits_of_gzip = 15 + 16;  // zlib.h, deflateInit2: 16 more asks for a gzip header
  constexpr int memory_level = 8;
  z_stream stream{};
  if (deflateInit2(&stream, Z_BEST_SPEED, Z_DEFLATED, window_bits_of_gzip, memory_level, Z_DEFAULT_STRATEGY) != Z_OK)
    throw std::runtime_error("zlib cannot begin");
  std::string packed(deflateBound(&stream, bytes.size()), '\0');
  std::string input(bytes);
  stream.next_in = reinterpret_cast<Bytef*>(input.data());
  stream.avail_in = static_cast<uInt>(input.size());
  stream.next_out = reinterpret_cast<Bytef*>(packed.data());
  stream.avail_out = static_cast<uInt>(packed.size());
  const int state = deflate(&stream, Z_FINISH);
  packed.resize(stream.total_out);
  deflateEnd(&stream);
  if (state != Z_STREAM_END) throw std::runtime_error("zlib cannot finish");
  return packed;
}

}  // namespace beadwise::tests
