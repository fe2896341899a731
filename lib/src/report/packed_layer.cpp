#include "report/packed_layer.hpp"

#include <zlib.h>

#include <cstdint>
#include <new>
#include <utility>

namespace beadwise {

namespace {

class Bytes {
 public:
  void byte(unsigned value) { text_ += static_cast<char>(value); }

  void number(std::uint64_t value) {
    for (; value >= 0x80; value >>= 7U) byte(static_cast<unsigned>(value & 0x7FU) | 0x80U);
    byte(static_cast<unsigned>(value));
  }

  void step(std::int64_t value) {
    const auto bits = static_cast<std::uint64_t>(value);
    number(value < 0 ? ~bits * 2 + 1 : bits * 2);
  }

  void step(PicturePoint from, PicturePoint to) {
    step(std::int64_t{to.x} - from.x);
    step(std::int64_t{to.y} - from.y);
  }

  std::string take() { return std::move(text_); }

 private:
  std::string text_;
};

void add_beads(const LayerPicture& layer, Bytes& bytes) {
  constexpr unsigned begins = 1;
  constexpr unsigned other_width = 2;
  constexpr unsigned other_part = 4;
  bytes.number(layer.beads.size());
  PictureBead last;
  for (const PictureBead& bead : layer.beads) {
    const unsigned flags = (bead.from == last.to ? 0U : begins) | (bead.width == last.width ? 0U : other_width) |
                           (bead.part == last.part ? 0U : other_part);
    bytes.byte(flags);
    if ((flags & begins) != 0) bytes.step(last.to, bead.from);
    if ((flags & other_width) != 0) bytes.number(bead.width);
    if ((flags & other_part) != 0) bytes.byte(static_cast<unsigned>(bead.part));
    bytes.step(bead.from, bead.to);
    last = bead;
  }
}

void add_travels(const LayerPicture& layer, Bytes& bytes) {
  constexpr unsigned lifted = 1;
  constexpr unsigned pulled_back = 2;
  constexpr unsigned begins = 4;
  bytes.number(layer.travels.size());
  PictureTravel last;
  for (const PictureTravel& travel : layer.travels) {
    bytes.number(travel.beads_before - last.beads_before);
    const bool elsewhere = travel.from != last.to;
    bytes.byte((travel.lifted ? lifted : 0U) | (travel.pulled_back ? pulled_back : 0U) | (elsewhere ? begins : 0U));
    if (elsewhere) bytes.step(last.to, travel.from);
    bytes.step(travel.from, travel.to);
    last = travel;
  }
}

}  // namespace

std::string packed(const LayerPicture& layer) {
  Bytes bytes;
  add_beads(layer, bytes);
  add_travels(layer, bytes);
  return bytes.take();
}

std::string deflated(std::string_view bytes) {
  uLongf size = compressBound(static_cast<uLong>(bytes.size()));
  std::string out(size, '\0');
  const int status =
      compress2(reinterpret_cast<Bytef*>(out.data()), &size, reinterpret_cast<const Bytef*>(bytes.data()),
                static_cast<uLong>(bytes.size()), Z_BEST_COMPRESSION);
  // With a buffer of that size nothing but the memory can run out.
  if (status != Z_OK) throw std::bad_alloc();
  out.resize(size);
  return out;
}

std::string base64(std::string_view bytes) {
  constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k)
      group = group << 8U | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k) {
      const bool padding = i + k > bytes.size();
      out += padding ? '=' : digits[group >> (18 - 6 * k) & 0x3FU];
    }
  }
  return out;
}

}  // namespace beadwise
