#include "finding/accept.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace beadwise;

namespace {

Finding lettering() {
  Finding finding;
  finding.check = "thin-stroke";
  finding.severity = Severity::warning;
  finding.what = "Raised lettering of 10 glyphs, 4.4 mm high, in layers 17 to 21: strokes down to 0.24 mm.";
  finding.key = "raised lettering, 10 glyphs, 4 mm high";
  finding.fingerprint = "0123456789abcdef";
  finding.objects = {3};
  return finding;
}

bool accepts(std::string_view where, std::string_view file = "prints/tree-tag_v2.gcode") {
  return means(where, file, lettering());
}

}  // namespace

TEST_CASE("a finding is meant by its fingerprint, whole") {
  CHECK(accepts("0123456789abcdef"));
  CHECK_FALSE(accepts("0123456789abcde"));
  CHECK_FALSE(accepts("0123456789abcdee"));
}

TEST_CASE("a finding is meant by words of the file's name, not of its folder or ending") {
  CHECK(accepts("tree tag"));
  CHECK(accepts("Tree-Tag V2"));
  CHECK_FALSE(accepts("tree tag", "prints/hose_clip.gcode"));
  CHECK_FALSE(accepts("tag tree"));
  CHECK_FALSE(accepts("prints"));
  CHECK_FALSE(accepts("gcode"));
  CHECK_FALSE(accepts("gcode", "tag.gcode.gz"));
  CHECK(accepts("tag", "TAG.GCODE.GZ"));
}

TEST_CASE("a finding is meant by words of its key or of its sentence, as a run of whole words") {
  CHECK(accepts("raised lettering"));
  CHECK(accepts("LETTERING"));
  CHECK(accepts("raised lettering, 10 glyphs, 4 mm high"));  // the key itself
  CHECK(accepts("lettering of 10 glyphs"));
  CHECK(accepts("layers 17 to 21"));
  CHECK_FALSE(accepts("raised glyphs"));
  CHECK_FALSE(accepts("letter"));
  CHECK_FALSE(accepts("layers 17 to 2"));
  CHECK_FALSE(accepts("24 mm"));  // 0.24 mm is one number
  CHECK_FALSE(accepts("sunk lettering"));
}

TEST_CASE("commas part phrases that must all stand somewhere") {
  CHECK(accepts("tree tag, lettering"));
  CHECK_FALSE(accepts("tree tag, sunk"));
  CHECK_FALSE(accepts("hose clip, lettering"));
}

TEST_CASE("an object is meant only where the finding is about no other") {
  CHECK(accepts("object 3"));
  CHECK_FALSE(accepts("object 2"));
  Finding two = lettering();
  two.objects = {3, 4};
  CHECK_FALSE(means("object 3", "a.gcode", two));
}

TEST_CASE("what has no word means nothing") {
  CHECK_FALSE(accepts(" "));
  CHECK_FALSE(accepts(", ,"));
  CHECK_FALSE(accepts("-"));
}

TEST_CASE("accepted findings stand after the others and tell why; what met none is given back") {
  Finding bridge;
  bridge.check = "unsupported-bead";
  bridge.key = "bridge";
  std::vector<Finding> findings = {lettering(), bridge};
  const std::vector<Accepted> stated = {{"thin-stroke", "tree tag", "read at arm's length", "beadwise.toml:3"},
                                        {"thin-stroke", "lettering", "the same once more", "beadwise.toml:8"},
                                        {"unsupported-bead", "overhang", "hidden", "beadwise.toml:13"},
                                        {"unsupported-bead", "lettering", "another check", "beadwise.toml:18"}};
  const std::vector<const Accepted*> unused = accept(stated, "tree_tag.gcode", findings);
  REQUIRE(findings.size() == 2);
  CHECK(findings[0].check == "unsupported-bead");
  CHECK_FALSE(findings[0].accepted);
  REQUIRE(findings[1].accepted);
  CHECK(findings[1].accepted->because == "read at arm's length");
  CHECK(findings[1].accepted->from == "beadwise.toml:3");
  CHECK(findings[1].accepted->in_profile);
  REQUIRE(unused.size() == 2);
  CHECK(unused[0]->where == "overhang");
  CHECK(unused[1]->because == "another check");
}
