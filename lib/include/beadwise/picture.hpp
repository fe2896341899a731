#pragma once

#include <cstdint>
#include <limits>
#include <string>
#include <vector>

namespace beadwise {

/// How much of a job is kept to be drawn.
enum class ReportData : std::uint8_t {
  none,      ///< words and figures alone
  findings,  ///< the layers that findings lie on, and what the print does over time
  full,      ///< every layer, as far as there is room
};

/// A place seen from above, in hundredths of a millimetre.
struct PicturePoint {
  std::int32_t x = 0;
  std::int32_t y = 0;

  friend bool operator==(const PicturePoint&, const PicturePoint&) = default;
};

/// What a drawn bead belongs to.
enum class PicturePart : std::uint8_t {
  unknown,
  outline,  ///< outer perimeters: what is seen of the part
  wall,     ///< perimeters behind it
  fill,     ///< what lies between the walls
  apart,    ///< what does not stay on the part: supports, skirts, brims, rafts, prime lines
};

/// A straight piece of a bead; an arc is several.
struct PictureBead {
  PicturePoint from;
  PicturePoint to;
  std::uint16_t width = 0;  ///< hundredths of a millimetre
  PicturePart part = PicturePart::unknown;
};

/// A straight piece of a travel.
struct PictureTravel {
  PicturePoint from;
  PicturePoint to;
  std::uint32_t beads_before = 0;  ///< pieces of beads of the picture that are laid before it
  bool lifted = false;             ///< the nozzle is higher than the layer
  bool pulled_back = false;        ///< the filament is
};

/// One layer as it is laid, in order.
struct LayerPicture {
  std::uint32_t layer = 0;  ///< from 1
  double z_mm = 0;
  double height_mm = 0;
  std::vector<PictureBead> beads;
  std::vector<PictureTravel> travels;
  std::uint64_t beads_left_out = 0;  ///< far from any finding, of a layer too large to be kept whole
  std::uint32_t rank = 0;            ///< 0: the worst finding lies on it; where room is short, the highest go first
};

/// A stretch of a strip: the least, the mean and the most of a quantity; NaN where it has none.
struct StripBin {
  float low = std::numeric_limits<float>::quiet_NaN();
  float mean = std::numeric_limits<float>::quiet_NaN();
  float high = std::numeric_limits<float>::quiet_NaN();
};

/// One quantity along a strip, in even stretches from its one end to the other.
struct StripCurve {
  std::string name;
  std::vector<StripBin> bins;
};

/// What a strip runs along.
enum class StripAxis : std::uint8_t { time, filament };

/// How quantities run over a whole job.
struct Strip {
  static constexpr std::size_t most_bins = 600;

  std::string title;
  std::string unit;
  StripAxis along = StripAxis::time;
  double from = 0;  ///< s, or mm of filament
  double to = 0;
  std::vector<StripCurve> curves;  ///< the first one is drawn as a band; the last one is held against the limit
  std::vector<StripBin> limit;     ///< one bin: the same everywhere; none: no limit
  std::string limit_name;          ///< "what melts"
  bool bad_above = true;           ///< beyond the limit is above it
  std::uint8_t tool = 0;           ///< of a strip along the filament
};

/// When and where along the filament a line of the file has its turn.
struct LineMoment {
  std::uint64_t line = 0;
  double time_s = 0;
  double filament_mm = 0;  ///< of `tool`, from where it stood when the job began
  std::uint8_t tool = 0;
};

/// When a layer begins.
struct LayerMoment {
  std::uint32_t layer = 0;
  double time_s = 0;
};

/// What of a job is there to be drawn.
struct Pictures {
  std::vector<LayerPicture> layers;  ///< in order of their numbers
  std::vector<Strip> strips;
  std::vector<LineMoment> moments;      ///< of the places of findings, in order of their lines
  std::vector<LayerMoment> beginnings;  ///< of layers, some of them where there are many
  double duration_s = 0;
  std::vector<std::string> left_out;  ///< what there was no room for, one sentence each
};

}  // namespace beadwise
