#include <doctest/doctest.h>

#include <set>

#include "beadwise/finding.hpp"

using namespace beadwise;

namespace {

Finding finding(std::string check, Severity severity, std::string key, std::uint64_t line) {
  Finding made;
  made.check = std::move(check);
  made.severity = severity;
  made.key = std::move(key);
  Place place;
  place.line = line;
  made.places.add(place);
  return made;
}

}  // namespace

TEST_CASE("findings come worst first, then by line, check and key") {
  Findings findings;
  findings.add(finding("broken-arc", Severity::warning, "b", 5));
  findings.add(finding("unread-line", Severity::note, "a", 1));
  findings.add(finding("broken-arc", Severity::warning, "a", 5));
  findings.add(finding("bad-checksum", Severity::error, "a", 900));
  findings.add(finding("liner-overheat", Severity::warning, "a", 4));
  const std::vector<Finding> taken = findings.take();
  REQUIRE(taken.size() == 5);
  CHECK(taken[0].check == "bad-checksum");
  CHECK(taken[1].check == "liner-overheat");
  CHECK(taken[2].key == "a");
  CHECK(taken[3].key == "b");
  CHECK(taken[4].check == "unread-line");
  CHECK(findings.take().empty());
}

TEST_CASE("a fingerprint is the start of SHA-256 over check, key and ordinal") {
  Findings findings;
  findings.add(finding("bad-checksum", Severity::error, "line", 12));
  // printf 'bad-checksum\0line\0001' | sha256sum
  CHECK(findings.take().front().fingerprint == "19d577457c1f4784");
}

TEST_CASE("a fingerprint does not move with the lines of a re-sliced file") {
  Findings before;
  before.add(finding("broken-arc", Severity::warning, "layer 3", 50));
  Findings after;
  after.add(finding("broken-arc", Severity::warning, "layer 3", 8050));
  CHECK(before.take().front().fingerprint == after.take().front().fingerprint);
}

TEST_CASE("findings of one check with one key have fingerprints of their own") {
  Findings findings;
  for (std::uint64_t line = 1; line <= 4; ++line) {
    findings.add(finding("broken-arc", Severity::warning, "same", line));
  }
  findings.add(finding("broken-arc", Severity::warning, "other", 9));
  std::set<std::string> fingerprints;
  for (const Finding& found : findings.take()) fingerprints.insert(found.fingerprint);
  CHECK(fingerprints.size() == 5);
}

TEST_CASE("every symptom has the name a person types") {
  CHECK(to_string(Symptom::stringing) == "stringing");
  CHECK(to_string(Symptom::under_extrusion) == "under-extrusion");
  CHECK(to_string(Symptom::weak_layers) == "weak-layers");
  CHECK(to_string(Symptom::illegible_text) == "illegible-text");
  CHECK(to_string(Symptom::scarring) == "scarring");
  CHECK(to_string(Symptom::rough_top) == "rough-top");
  CHECK(to_string(Symptom::rough_first_layer) == "rough-first-layer");
  CHECK(to_string(Symptom::knocked_loose) == "knocked-loose");
  CHECK(to_string(Symptom::warping) == "warping");
  CHECK(to_string(Symptom::sagging) == "sagging");
  CHECK(to_string(Symptom::tube_pushed_out) == "tube-pushed-out");
  CHECK(to_string(Symptom::runout) == "runout");
}
