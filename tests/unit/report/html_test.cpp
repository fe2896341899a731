#include <doctest/doctest.h>
#include <nettle/base64.h>
#include <nettle/sha2.h>

#include <array>
#include <set>
#include <string>

#include "beadwise/report.hpp"
#include "report/packed_layer.hpp"
#include "unit/report/sample_pictures.hpp"

using namespace beadwise;

namespace {

std::string page_of(const FileReport& report, const HtmlOptions& options = {}) {
  return check_as_html({&report, 1}, options);
}

bool holds(const std::string& page, std::string_view part) { return page.find(part) != std::string::npos; }

std::size_t count_of(const std::string& page, std::string_view part) {
  std::size_t count = 0;
  for (std::size_t at = page.find(part); at != std::string::npos; at = page.find(part, at + part.size())) ++count;
  return count;
}

/// What stands between `open` and the next `close`.
std::string between(const std::string& page, std::string_view open, std::string_view close) {
  const std::size_t begin = page.find(open);
  REQUIRE(begin != std::string::npos);
  const std::size_t from = begin + open.size();
  return page.substr(from, page.find(close, from) - from);
}

std::string sha256_in_base64(const std::string& text) {
  sha256_ctx hash;
  sha256_init(&hash);
  sha256_update(&hash, text.size(), reinterpret_cast<const std::uint8_t*>(text.data()));
  std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
  sha256_digest(&hash, digest.size(), digest.data());
  std::string out(BASE64_ENCODE_RAW_LENGTH(SHA256_DIGEST_SIZE), '\0');
  base64_encode_raw(out.data(), digest.size(), digest.data());
  return out;
}

/// Without what the program itself put into the page as style and script.
std::string without_own_parts(std::string page) {
  for (const auto& [open, close] : {std::pair<std::string_view, std::string_view>{"<style>", "</style>"},
                                    std::pair<std::string_view, std::string_view>{"<script>", "</script>"}}) {
    const std::size_t begin = page.find(open);
    page.erase(begin, page.find(close, begin) + close.size() - begin);
  }
  return page;
}

const std::string attack = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>&amp;</script><!--";

/// A report in which every text that a file can steer tries to get out of its place.
FileReport hostile_report() {
  FileReport report = drawn_report();
  report.file = attack + ".gcode";
  report.unseen = {"`" + attack + "` on line 3 is a macro of the machine."};
  report.unknown = {{attack, 3}, {"M900", 1}};
  report.assumptions = {{attack, attack, Origin::file, attack}};
  report.checks = {{"broken-arc", false, attack, 0}};
  for (Finding& finding : report.findings) {
    finding.what = attack;
    finding.why = "`" + attack + "`";
    finding.remedy = attack;
    finding.check = attack;
    finding.measured->unit = attack;
  }
  report.pictures->left_out = {attack};
  report.pictures->strips.front().title = attack;
  report.pictures->strips.front().curves.front().name = attack;
  report.pictures->strips.front().limit_name = attack;
  return report;
}

}  // namespace

TEST_CASE("the content security policy allows the page's own style and script and nothing else") {
  const std::string page = page_of(drawn_report());
  const std::string policy = between(page, "http-equiv=\"Content-Security-Policy\" content=\"", "\"");
  CHECK(policy == "default-src 'none'; script-src 'sha256-" + sha256_in_base64(between(page, "<script>", "</script>")) +
                      "'; style-src 'sha256-" + sha256_in_base64(between(page, "<style>", "</style>")) +
                      "'; base-uri 'none'; form-action 'none'");
  // It holds from where it stands: nothing that it forbids may come before.
  CHECK(page.find("Content-Security-Policy") < page.find("<style>"));
}

TEST_CASE("the page names no address and no file but itself") {
  const std::string page = page_of(drawn_report());
  for (const std::string_view part : {"http://", "https://", "src=", "url(", "@import", "fetch(", "XMLHttpRequest"})
    CHECK_MESSAGE(!holds(page, part), part);
  CHECK(count_of(page, "href=\"") == count_of(page, "href=\"#"));
}

TEST_CASE("text that a file can steer stays text") {
  const std::string page = without_own_parts(page_of(hostile_report()));
  CHECK(!holds(page, "<img"));
  CHECK(!holds(page, "<script>alert"));
  CHECK(!holds(page, "<!--"));
  CHECK(holds(page, "&lt;img src=x onerror=alert(2)&gt;"));
  // Only the block with the layers is a script, and it is data that ends where the program ends it.
  CHECK(count_of(page, "<script") == 1);
  CHECK(count_of(page, "</script") == 1);
  CHECK(holds(between(page, "<script type=\"application/json\">", "</script>"), "\\u003c/script>"));
}

TEST_CASE("a file's name is text in the list of several files, too") {
  const std::vector<FileReport> reports = {hostile_report(), clean_report()};
  const std::string page = without_own_parts(check_as_html(reports, {}));
  CHECK(!holds(page, "<img"));
  CHECK(!holds(page, "<script>alert"));
}

TEST_CASE("what a screen would obey does not reach the page") {
  FileReport report = sample_report();
  report.file =
      "label\xE2\x80\xAE"
      "edocg.\x1B[2J\xFF\n.gcode";
  const std::string page = page_of(report);
  CHECK(!holds(page, "\xE2\x80\xAE"));
  CHECK(!holds(page, "\x1B"));
  CHECK(!holds(page, "\xFF"));
  CHECK(holds(page, "edocg."));
}

TEST_CASE("without a script the page says everything") {
  const std::string page = page_of(drawn_report());
  const Finding finding = sample_report().findings.front();
  CHECK(count_of(page, finding.what) == 2);  // with its picture, and in the table
  CHECK(holds(page, finding.why));
  CHECK(holds(page, finding.remedy));
  CHECK(holds(page, finding.fingerprint));
  CHECK(holds(page, "131 passes"));
  CHECK(holds(page, "100 passes"));
  CHECK(holds(page, "48 places, layers 12 to 14, lines 1203 to 1250"));
  CHECK(count_of(page, "<tr><td>12") == 20);  // the worst 20 places: lines 1203 to 1222
  CHECK(holds(page, "machine.nozzle_diameter_mm"));
  CHECK(holds(page, "Most beads are 0.45 mm wide."));
  CHECK(holds(page, "nobody stated how much filament is left"));
  CHECK(holds(page, std::string(64, 'a')));
}

TEST_CASE("a finding is drawn with its worst layer, the place and the layer below") {
  const std::string page = page_of(drawn_report());
  const std::string picture = between(page, "<svg class=\"picture\"", "</svg>");
  CHECK(holds(picture, "class=\"below\""));
  CHECK(holds(picture, "class=\"outline\""));
  CHECK(holds(picture, "class=\"fill\""));
  CHECK(holds(picture, "<circle"));
  CHECK(holds(page, "Layer 12 of 42, Z 2.4 mm"));
}

TEST_CASE("a finding says what its check looks for, and which objects of the plate it is about") {
  FileReport report = drawn_report();
  CHECK(holds(page_of(report), "<p class=\"about\">"));
  CHECK(!holds(page_of(report), "on object"));
  for (std::uint32_t number = 1; number <= 3; ++number) {
    ObjectFigures object;
    object.object = number;
    object.first_layer = 1;
    object.last_layer = 40;
    report.objects.push_back(object);
  }
  report.findings.front().objects = {1, 3};
  CHECK(holds(page_of(report), "It is on objects 1 and 3."));
}

TEST_CASE("marks are drawn at their width, on their layer alone") {
  FileReport report = drawn_report();
  Mark mark;
  mark.layer = 12;
  mark.width_mm = 1.2;
  mark.points_mm = {{10, 5}, {12, 5}};
  report.findings.front().marks = {mark};
  CHECK(holds(page_of(report), "class=\"stroke\" stroke-width=\"120\""));
  CHECK(holds(page_of(report), "Lines in the colour of the rings: what was found."));
  report.findings.front().marks.front().layer = 13;
  CHECK(!holds(page_of(report), "class=\"stroke\""));
}

TEST_CASE("strips show findings where they lie, what is beyond the limit, and say it in words") {
  const std::string page = page_of(drawn_report());
  CHECK(count_of(page, "class=\"strip\"") == 2);
  CHECK(holds(page, "href=\"#f-1\""));
  CHECK(!between(page, "class=\"beyond\" d=\"", "\"").empty());
  CHECK(holds(page, "At most 12 mm³/s, at 22 min; melts through: 9 mm³/s; beyond that in 1 % of the strip."));
}

TEST_CASE("without pictures there are words and tables alone") {
  const std::string page = page_of(sample_report());
  CHECK(!holds(page, "<canvas"));
  CHECK(!holds(page, "class=\"picture\""));
  CHECK(!holds(page, "class=\"strip\""));
  CHECK(holds(page, sample_report().findings.front().what));
}

TEST_CASE("a clean file's page says so and offers nothing to step through") {
  const std::string page = page_of(clean_report());
  CHECK(holds(page, "Nothing found by the 2&nbsp;checks that ran."));
  CHECK(!holds(page, "What was found"));
}

TEST_CASE("an unreadable file has a page") {
  FileReport report;
  report.file = "empty.gcode";
  report.failure = "the file is empty";
  const std::string page = page_of(report);
  CHECK(holds(page, "This file could not be read to its end: the file is empty."));
}

TEST_CASE("several files are one page with a list on top") {
  const std::vector<FileReport> reports = {drawn_report(), clean_report()};
  const std::string page = check_as_html(reports, {});
  CHECK(holds(page, "<title>2 files – beadwise</title>"));
  CHECK(holds(page, "href=\"#file-1\""));
  CHECK(holds(page, "id=\"file-2\""));
  CHECK(count_of(page, "<h1") == 1);
}

TEST_CASE("no two elements share a name, and every link has an end on the page") {
  FileReport two = drawn_report();
  two.findings.push_back(two.findings.front());
  const std::vector<FileReport> reports = {two, two};
  const std::string page = check_as_html(reports, {});
  std::set<std::string> names;
  for (std::size_t at = page.find(" id=\""); at != std::string::npos; at = page.find(" id=\"", at + 1)) {
    const std::size_t begin = at + 5;
    const std::string name = page.substr(begin, page.find('"', begin) - begin);
    CHECK_MESSAGE(names.insert(name).second, name);
  }
  for (std::size_t at = page.find("href=\"#"); at != std::string::npos; at = page.find("href=\"#", at + 1)) {
    const std::size_t begin = at + 7;
    const std::string name = page.substr(begin, page.find('"', begin) - begin);
    CHECK_MESSAGE(names.count(name) == 1, name);
  }
}

TEST_CASE("layers that find no room are named, the least important go first") {
  FileReport report = drawn_report();
  for (LayerPicture& layer : report.pictures->layers) layer.rank = layer.layer == 13 ? 0 : 1;
  const std::size_t one_layer = base64(deflated(packed(report.pictures->layers.front()))).size();
  const std::string page = page_of(report, {.layer_bytes = one_layer * 3 / 2});
  const std::string data = between(page, "<script type=\"application/json\">", "</script>");
  CHECK(holds(data, "{\"layer\":13"));
  CHECK(!holds(data, "{\"layer\":11"));
  CHECK(holds(page, "3 layers found no room on this page."));
}

TEST_CASE("the same reports make the same page") { CHECK(page_of(drawn_report()) == page_of(drawn_report())); }
