#include "report/packed_layer.hpp"

#include <doctest/doctest.h>
#include <zlib.h>

#include <cstdint>
#include <string>

using namespace beadwise;

namespace {

/// Reads what `packed` wrote, by the words of its header.
class Reader {
 public:
  explicit Reader(std::string_view bytes) : bytes_(bytes) {}

  unsigned byte() { return static_cast<unsigned char>(bytes_.at(at_++)); }
  std::uint64_t number() {
    std::uint64_t value = 0;
    for (unsigned shift = 0;; shift += 7) {
      const unsigned one = byte();
      value |= std::uint64_t{one & 0x7FU} << shift;
      if (one < 0x80) return value;
    }
  }
  std::int32_t step() {
    const auto value = static_cast<std::int64_t>(number());
    return static_cast<std::int32_t>(value % 2 == 0 ? value / 2 : -(value + 1) / 2);
  }
  void move(PicturePoint& point) {
    point.x += step();
    point.y += step();
  }
  bool at_end() const { return at_ == bytes_.size(); }

 private:
  std::string_view bytes_;
  std::size_t at_ = 0;
};

std::vector<PictureBead> read_beads(Reader& reader) {
  std::vector<PictureBead> beads(reader.number());
  PictureBead last;
  for (PictureBead& bead : beads) {
    const unsigned flags = reader.byte();
    bead.from = last.to;
    bead.width = last.width;
    bead.part = last.part;
    if ((flags & 1U) != 0) reader.move(bead.from);
    if ((flags & 2U) != 0) bead.width = static_cast<std::uint16_t>(reader.number());
    if ((flags & 4U) != 0) bead.part = static_cast<PicturePart>(reader.byte());
    bead.to = bead.from;
    reader.move(bead.to);
    last = bead;
  }
  return beads;
}

LayerPicture layer_of_a_tag() {
  LayerPicture layer;
  layer.beads = {{{1000, 2000}, {3000, 2000}, 45, PicturePart::outline},
                 {{3000, 2000}, {3000, 4000}, 45, PicturePart::outline},
                 {{-70, 0}, {3000, -4000}, 300, PicturePart::apart},
                 {{3000, -4000}, {10'000'000, -10'000'000}, 300, PicturePart::fill}};
  layer.travels = {
      {{3000, 4000}, {-70, 0}, 2, true, false}, {{-70, 0}, {5, 6}, 2, false, true}, {{1, 1}, {2, 2}, 4, false, false}};
  return layer;
}

std::string inflated(const std::string& bytes, std::size_t size) {
  std::string out(size, '\0');
  auto length = static_cast<uLongf>(size);
  REQUIRE(uncompress(reinterpret_cast<Bytef*>(out.data()), &length, reinterpret_cast<const Bytef*>(bytes.data()),
                     static_cast<uLong>(bytes.size())) == Z_OK);
  out.resize(length);
  return out;
}

}  // namespace

TEST_CASE("a layer that is packed says again what it said") {
  const LayerPicture layer = layer_of_a_tag();
  const std::string bytes = packed(layer);
  Reader reader(bytes);
  const std::vector<PictureBead> beads = read_beads(reader);
  REQUIRE(beads.size() == layer.beads.size());
  for (std::size_t i = 0; i < beads.size(); ++i) {
    CHECK(beads[i].from == layer.beads[i].from);
    CHECK(beads[i].to == layer.beads[i].to);
    CHECK(beads[i].width == layer.beads[i].width);
    CHECK(beads[i].part == layer.beads[i].part);
  }
  REQUIRE(reader.number() == layer.travels.size());
  PicturePoint at;
  std::uint64_t before = 0;
  for (const PictureTravel& travel : layer.travels) {
    before += reader.number();
    const unsigned flags = reader.byte();
    if ((flags & 4U) != 0) reader.move(at);
    CHECK(before == travel.beads_before);
    CHECK(at == travel.from);
    CHECK(((flags & 1U) != 0) == travel.lifted);
    CHECK(((flags & 2U) != 0) == travel.pulled_back);
    reader.move(at);
    CHECK(at == travel.to);
  }
  CHECK(reader.at_end());
}

TEST_CASE("beads one after another of one width take three to five bytes each") {
  LayerPicture layer;
  PicturePoint at;
  for (int i = 0; i < 1000; ++i) {
    const PicturePoint next{at.x + (i % 2 == 0 ? 50 : -50), at.y + 45};
    layer.beads.push_back({at, next, 45, PicturePart::fill});
    at = next;
  }
  CHECK(packed(layer).size() < 5 * layer.beads.size());
}

TEST_CASE("what is deflated inflates again") {
  const std::string bytes = packed(layer_of_a_tag());
  CHECK(inflated(deflated(bytes), bytes.size()) == bytes);
  CHECK(inflated(deflated(""), 1).empty());
}

TEST_CASE("base64 gives the vectors of RFC 4648, section 10") {
  CHECK(base64("").empty());
  CHECK(base64("f") == "Zg==");
  CHECK(base64("fo") == "Zm8=");
  CHECK(base64("foo") == "Zm9v");
  CHECK(base64("foob") == "Zm9vYg==");
  CHECK(base64("fooba") == "Zm9vYmE=");
  CHECK(base64("foobar") == "Zm9vYmFy");
  CHECK(base64("\xFF\xEF\xBE") == "/+++");
}
