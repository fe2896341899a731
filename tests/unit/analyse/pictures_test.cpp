#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>

#include "analyse/draw_layer.hpp"
#include "analyse/kept_input.hpp"
#include "analyse/wanted_layers.hpp"
#include "beadwise/analyse.hpp"
#include "support/near.hpp"
#include "support/print.hpp"
#include "text/stored_bytes.hpp"
#include "unit/text/temporary_folder.hpp"

using namespace beadwise;
using namespace beadwise::tests;

namespace {

/// Six layers of two row labels; the right one reaches beyond X 120 from the fourth layer on.
std::string two_labels() {
  Print job = print();
  for (int layer = 1; layer <= 6; ++layer) {
    job.layer(0.2).perimeter(square(10, {100, 100})).retract().lift(0.4).travel_to(110, 105);
    job.lower().prime().perimeter(square(layer < 4 ? 5 : 12, {112, 100}));
  }
  return job.finish().gcode();
}

AnalyseOptions asking_for(ReportData data) {
  AnalyseOptions options;
  options.only = {"outside-build-volume"};
  options.sets = {"machine.build_x_mm=[0, 120]", "machine.build_y_mm=[0, 200]", "machine.build_z_mm=[0, 200]"};
  options.report_data = data;
  return options;
}

FileReport analysed(const std::string& gcode, ReportData data) {
  return analyse(Source::memory("labels.gcode", gcode), asking_for(data));
}

std::vector<std::uint32_t> layers_in(const FileReport& report) {
  std::vector<std::uint32_t> layers;
  for (const LayerPicture& layer : report.pictures->layers) layers.push_back(layer.layer);
  return layers;
}

using Numbers = std::vector<std::uint32_t>;

/// Standard input from a file, for as long as it lives.
class InputFrom {
 public:
  explicit InputFrom(const std::filesystem::path& path) : before_(::dup(STDIN_FILENO)) {
    const int file = ::open(path.c_str(), O_RDONLY);
    ::dup2(file, STDIN_FILENO);
    ::close(file);
  }
  ~InputFrom() {
    ::dup2(before_, STDIN_FILENO);
    ::close(before_);
  }
  InputFrom(const InputFrom&) = delete;
  InputFrom& operator=(const InputFrom&) = delete;

 private:
  int before_;
};

}  // namespace

TEST_CASE("nothing is drawn unless it is asked for") {
  const FileReport report = analysed(two_labels(), ReportData::none);
  REQUIRE(report.findings.size() == 1);
  CHECK(!report.pictures);
}

TEST_CASE("of a finding up to three layers are kept, and the one below each") {
  // The finding is on layers 4, 5 and 6, all as far out; of equals the earlier line comes first.
  const FileReport report = analysed(two_labels(), ReportData::findings);
  REQUIRE(report.findings.size() == 1);
  REQUIRE(report.pictures);
  CHECK(layers_in(report) == Numbers{3, 4, 5, 6});
  CHECK(report.pictures->left_out.empty());
}

TEST_CASE("in full every layer is kept") {
  CHECK(layers_in(analysed(two_labels(), ReportData::full)) == Numbers{1, 2, 3, 4, 5, 6});
}

TEST_CASE("a layer is drawn as it is laid, in hundredths of a millimetre") {
  const FileReport report = analysed(two_labels(), ReportData::findings);
  const LayerPicture& layer = report.pictures->layers.at(1);
  CHECK(near(layer.z_mm, 0.8, 1e-6));
  CHECK(near(layer.height_mm, 0.2, 1e-6));
  REQUIRE(layer.beads.size() == 8);
  CHECK(layer.beads[0].from == PicturePoint{10000, 10000});
  CHECK(layer.beads[0].to == PicturePoint{11000, 10000});
  CHECK(layer.beads[4].from == PicturePoint{11200, 10000});
  CHECK(layer.beads[5].to == PicturePoint{12400, 11200});
  // 0.45 mm as laid; the file rounds filament to 10 nm.
  for (const PictureBead& bead : layer.beads) CHECK(std::abs(int{bead.width} - 45) <= 1);
  for (const PictureBead& bead : layer.beads) CHECK(bead.part == PicturePart::outline);
}

TEST_CASE("a travel is drawn with its lift and with what is pulled back, between the beads that it joins") {
  const FileReport report = analysed(two_labels(), ReportData::findings);
  const LayerPicture& layer = report.pictures->layers.at(1);
  const auto lifted = std::find_if(layer.travels.begin(), layer.travels.end(), [](const PictureTravel& travel) {
    return travel.to == PicturePoint{11000, 10500};
  });
  REQUIRE(lifted != layer.travels.end());
  CHECK(lifted->lifted);
  CHECK(lifted->pulled_back);
  CHECK(lifted->beads_before == 4);
  const auto low = std::next(lifted);
  REQUIRE(low != layer.travels.end());
  CHECK(low->to == PicturePoint{11200, 10000});
  CHECK(!low->lifted);
  CHECK(!low->pulled_back);
}

TEST_CASE("strips run over the whole print, and places know when they have their turn") {
  const FileReport report = analysed(two_labels(), ReportData::findings);
  const Pictures& pictures = *report.pictures;
  CHECK(near(pictures.duration_s, report.job->duration_s, 1e-6));
  REQUIRE(pictures.strips.size() >= 3);
  for (const Strip& strip : pictures.strips) {
    REQUIRE(!strip.curves.empty());
    CHECK(strip.curves.front().bins.size() <= Strip::most_bins);
    if (strip.along == StripAxis::time) CHECK(near(strip.to, pictures.duration_s, 1e-6));
  }
  const Strip& passes = pictures.strips.back();
  CHECK(passes.along == StripAxis::filament);
  double most = 0;
  for (const StripBin& bin : passes.curves.front().bins) most = std::max(most, double{bin.high});
  CHECK(most == static_cast<double>(report.job->max_gear_passes));

  CHECK(pictures.beginnings.size() == 6);
  const std::uint64_t first_line = report.findings[0].places.first_line();
  const auto moment = std::find_if(pictures.moments.begin(), pictures.moments.end(),
                                   [&](const LineMoment& one) { return one.line == first_line; });
  REQUIRE(moment != pictures.moments.end());
  CHECK(moment->time_s > pictures.beginnings[3].time_s);
  CHECK(moment->time_s < pictures.beginnings[4].time_s);
}

TEST_CASE("the flow strip holds what is asked of the melt zone against what melts through, bin by bin") {
  const FileReport report = analysed(two_labels(), ReportData::findings);
  const Strip& flow = report.pictures->strips.front();
  CHECK(flow.title == "Flow");
  REQUIRE(flow.curves.size() == 2);
  CHECK(flow.curves[1].bins.size() == flow.curves[0].bins.size());
  CHECK(flow.limit.size() == flow.curves[0].bins.size());
  double most = 0;
  for (const StripBin& bin : flow.curves[0].bins) most = std::max(most, double{bin.high});
  // (0.45 − 0.2) × 0.2 + π 0.2²/4 = 0.0814 mm² at 50 mm/s, which the walls of 10 mm reach: 4.07 mm³/s.
  CHECK(near(most, 4.0708, 0.02));
}

TEST_CASE("the answer with pictures is the answer without") {
  const FileReport plain = analysed(two_labels(), ReportData::none);
  const FileReport drawn = analysed(two_labels(), ReportData::full);
  CHECK(check_as_json({&plain, 1}) == check_as_json({&drawn, 1}));
}

TEST_CASE("standard input is kept, read twice and cleared away") {
  const TemporaryFolder folder;
  const std::string gcode = two_labels();
  const std::filesystem::path file = folder.write("labels.gcode", gcode);
  const FileReport from_file = analyse(Source::file(file), asking_for(ReportData::findings));
  const InputFrom input(file);
  const FileReport report = analyse(Source::standard_input(), asking_for(ReportData::findings));
  CHECK(report.file == "standard input");
  CHECK(report.sha256 == from_file.sha256);
  CHECK(layers_in(report) == layers_in(from_file));
}

TEST_CASE("the temporary file of standard input can be read twice and has no name that could stay behind") {
  const TemporaryFolder folder;
  const InputFrom input(folder.write("label.gcode", "G28\n"));
  const KeptInput kept(Source::standard_input());
  CHECK(kept.source().kind == Source::Kind::open_file);
  CHECK(kept.source().name == "standard input");
  struct stat status {};
  REQUIRE(::fstat(kept.source().descriptor, &status) == 0);
  CHECK(status.st_size == 4);
  CHECK(status.st_nlink == 0);
  for (int i = 0; i < 2; ++i) {
    StoredBytes bytes(kept.source());
    CHECK(bytes.next() == "G28\n");
    CHECK(bytes.next().empty());
  }
}

TEST_CASE("a job that is not there has no pictures, with or without asking") {
  const FileReport report = analyse(Source::file("/no/such/label.gcode"), asking_for(ReportData::findings));
  CHECK(report.failure);
  CHECK(!report.pictures);
}

TEST_CASE("every finding's worst layer comes before any finding's second, and layers halve what is left") {
  std::vector<Finding> findings(2);
  findings[0].places.add({.line = 1, .layer = 20, .value = 9});
  findings[0].places.add({.line = 2, .layer = 30, .value = 8});
  findings[1].places.add({.line = 3, .layer = 40, .value = 1});
  const WantedLayers wanted(findings, ReportData::full);
  CHECK(wanted.rank(20) < wanted.rank(40));
  CHECK(wanted.rank(40) < wanted.rank(30));
  CHECK(wanted.rank(19) == wanted.rank(20));
  CHECK(wanted.rank(30) < wanted.rank(64));
  CHECK(wanted.rank(64) < wanted.rank(32));
  CHECK(wanted.rank(32) < wanted.rank(7));
}

TEST_CASE("of many findings no more layers are wanted than there is room for") {
  std::vector<Finding> findings(500);
  for (std::uint32_t i = 0; i < findings.size(); ++i) findings[i].places.add({.line = i + 1, .layer = 10 * (i + 1)});
  const WantedLayers wanted(findings, ReportData::findings);
  CHECK(wanted.wants(10));
  CHECK(!wanted.wants(5000));
}

TEST_CASE("of a layer too large to be kept whole the beads around the finding stay, and the travels between them") {
  IndexedLayer layer;
  for (int i = 0; i < 1000; ++i) {
    Bead bead;
    bead.from_mm = {1.0 * i, 0, 0.2};
    bead.to_mm = {1.0 * i + 1, 0, 0.2};
    layer.layer.beads.push_back(bead);
  }
  for (const std::uint32_t before : {10U, 500U, 990U}) {
    Travel travel;
    travel.beads_before = before;
    layer.travels.push_back(travel);
  }
  // 30 mm to each side of X 500 mm: the beads from 469 to 530.
  const std::vector<PicturePoint> places = {{50'000, 0}};
  CHECK(keep_beads_near(layer, places, 100) == 1000 - 62);
  REQUIRE(layer.layer.beads.size() == 62);
  CHECK(near(layer.layer.beads.front().from_mm.x, 469, 1e-9));
  CHECK(layer.travels[0].beads_before == 0);
  CHECK(layer.travels[1].beads_before == 31);
  CHECK(layer.travels[2].beads_before == 62);
}
