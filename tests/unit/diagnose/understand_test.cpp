// Phrases as customers write them (invented at the bench of a village orchard), and what they must be read as.
#include <doctest/doctest.h>

#include <array>
#include <string>
#include <vector>

#include "beadwise/diagnose.hpp"
#include "diagnose/symptom_guide.hpp"

namespace beadwise::tests {
namespace {

struct Phrase {
  std::string means;  ///< names of symptoms, parted by a blank
  std::string words;
};

const std::vector<Phrase>& plain_phrases() {
  static const std::vector<Phrase> phrases = {
      {"stringing", "it's stringing like mad"},
      {"stringing", "there are hairs everywhere between the two clips"},
      {"stringing", "thin strings from one pin to the next"},
      {"stringing", "looks like a spider has been at it, cobwebs all over"},
      {"stringing", "whiskers on the row labels"},
      {"stringing", "fine threads in the holes"},
      {"stringing", "plastic oozes while it moves"},
      {"stringing", "wispy bits between the towers"},
      {"stringing", "the vase is fuzzy inside"},
      {"stringing", "stringy mess in the gaps"},
      {"stringing", "it leaves little hairs on the crate tags"},
      {"clogging", "nozzle clogged after an hour"},
      {"clogging", "it clogs halfway"},
      {"clogging", "stopped extruding on layer 40"},
      {"clogging", "nothing comes out any more"},
      {"clogging", "no plastic comes out"},
      {"clogging", "hot end jammed again"},
      {"clogging", "the nozzle is blocked"},
      {"clogging", "it kept moving but stopped feeding"},
      {"clogging", "filament is stuck in the hot end"},
      {"clogging", "printing air for the last hour"},
      {"clogging", "it doesn't extrude"},
      {"clogging", "extrusion stopped in the middle"},
      {"under-extrusion", "under-extruded walls"},
      {"under-extrusion", "not enough plastic in the walls"},
      {"under-extrusion", "gaps in the outer wall"},
      {"under-extrusion", "the lines are too thin"},
      {"under-extrusion", "missing lines in the side"},
      {"under-extrusion", "walls are spongy and porous"},
      {"under-extrusion", "lines do not touch each other"},
      {"under-extrusion", "you can see through the walls"},
      {"under-extrusion", "holes in the side of the jig"},
      {"under-extrusion", "too little material comes out"},
      {"under-extrusion", "missing layers in the middle"},
      {"blobs", "blobs all over the outside"},
      {"blobs", "little pimples where each layer starts"},
      {"blobs", "zits on the wall"},
      {"blobs", "lumps on the corner of the clip"},
      {"blobs", "warts along one edge"},
      {"blobs", "bumps on the outside wall"},
      {"blobs", "too much filament, it is over-extruding"},
      {"blobs", "bulging corners"},
      {"blobs", "droplets stuck to the sides"},
      {"weak-layers", "the layers delaminate"},
      {"weak-layers", "it snapped along a layer"},
      {"weak-layers", "layers separate when I bend it"},
      {"weak-layers", "it splits when I screw it in"},
      {"weak-layers", "the clip is brittle"},
      {"weak-layers", "part is weak between layers"},
      {"weak-layers", "layers don't stick to each other"},
      {"weak-layers", "the handle fell apart in my hand"},
      {"weak-layers", "cracked open between the layers"},
      {"weak-layers", "layers are not bonding"},
      {"weak-layers", "I can peel the layers off"},
      {"illegible-text", "I can't read the name"},
      {"illegible-text", "the writing is unreadable"},
      {"illegible-text", "letters run into each other and are filled in"},
      {"illegible-text", "the text is blurred"},
      {"illegible-text", "numbers on the label are not legible"},
      {"illegible-text", "small letters are missing"},
      {"illegible-text", "lettering is mushy"},
      {"illegible-text", "the holes in the letters are closed"},
      {"illegible-text", "hard to read the variety"},
      {"illegible-text", "letters are too thin"},
      {"scarring", "scratches across the lid"},
      {"scarring", "the nozzle leaves scratch marks on top"},
      {"scarring", "nozzle drags through the top surface"},
      {"scarring", "lines across the top surface where it travelled"},
      {"scarring", "grooves in the face of the tag"},
      {"scarring", "scars on the surface"},
      {"scarring", "it scrapes over the finished part"},
      {"scarring", "drag marks on the print"},
      {"rough-top", "the top surface is rough"},
      {"rough-top", "holes in the top layer"},
      {"rough-top", "pillowing on the top"},
      {"rough-top", "top is not closed"},
      {"rough-top", "roof of the box has gaps"},
      {"rough-top", "the lid is bumpy"},
      {"rough-top", "top layers see through"},
      {"rough-top", "uneven top"},
      {"rough-first-layer", "bottom is rough"},
      {"rough-first-layer", "first layer has gaps between the lines"},
      {"rough-first-layer", "the underside is ugly"},
      {"rough-first-layer", "ridges in the first layer"},
      {"rough-first-layer", "bottom layer isn't smooth"},
      {"rough-first-layer", "holes in the bottom"},
      {"rough-first-layer", "the base has wavy lines"},
      {"rough-first-layer", "first layer patchy"},
      {"knocked-loose", "it came off the bed"},
      {"knocked-loose", "part came loose in the night"},
      {"knocked-loose", "won't stick to the plate"},
      {"knocked-loose", "it does not stick"},
      {"knocked-loose", "the pins fell over"},
      {"knocked-loose", "print detached halfway"},
      {"knocked-loose", "got knocked over by the nozzle"},
      {"knocked-loose", "first layer does not stick to the bed"},
      {"knocked-loose", "popped off the build plate"},
      {"knocked-loose", "one rod tipped over"},
      {"knocked-loose", "it let go at layer 30"},
      {"warping", "corners are lifting"},
      {"warping", "the corner curled up"},
      {"warping", "the ends came up off the plate"},
      {"warping", "it warped badly"},
      {"warping", "base isn't flat"},
      {"warping", "edges peel off the bed"},
      {"warping", "bent like a banana"},
      {"warping", "lid is bowed"},
      {"sagging", "bridge is sagging"},
      {"sagging", "overhangs look awful and droop"},
      {"sagging", "strands hang down under the handle"},
      {"sagging", "the roof collapsed"},
      {"sagging", "overhang is rough"},
      {"sagging", "loops hanging underneath"},
      {"sagging", "the thin tip melted"},
      {"sagging", "bridging fails"},
      {"tube-pushed-out", "the tube popped out of the fitting"},
      {"tube-pushed-out", "bowden tube came off"},
      {"tube-pushed-out", "the coupling let the tube slip"},
      {"tube-pushed-out", "hose jumped off the extruder"},
      {"tube-pushed-out", "the tube gets pushed out of the hot end"},
      {"runout", "ran out of filament"},
      {"runout", "the spool ran empty"},
      {"runout", "spool was finished before the job"},
      {"runout", "it ran out near the end"},
      {"runout", "no filament left on the spool"},
      {"runout", "filament ended too early"},
      {"stringing warping", "it strings and the corners lift"},
      {"scarring blobs", "scratches on top, and blobs on the wall"},
      {"clogging stringing", "it clogs but also leaves strings"},
  };
  return phrases;
}

std::string names(const UnderstoodWords& meaning) {
  std::string all;
  for (const Symptom symptom : meaning.symptoms) {
    if (!all.empty()) all += ' ';
    all += to_string(symptom);
  }
  return all;
}

TEST_CASE("what customers write is understood") {
  for (const Phrase& phrase : plain_phrases()) {
    const UnderstoodWords meaning = understand(phrase.words);
    INFO(phrase.words);
    CHECK(names(meaning) == phrase.means);
    CHECK(meaning.clear);
  }
  CHECK(plain_phrases().size() >= 100);
}

TEST_CASE("every symptom is written in at least five ways") {
  for (const SymptomGuide& guide : symptom_guides()) {
    std::size_t ways = 0;
    for (const Phrase& phrase : plain_phrases()) ways += phrase.means == to_string(guide.symptom) ? 1 : 0;
    INFO(to_string(guide.symptom));
    CHECK(ways >= 5);
  }
}

TEST_CASE("the names of the symptoms are understood however they are joined, and so are the phrases of the help") {
  for (const SymptomGuide& guide : symptom_guides()) {
    const std::string name(to_string(guide.symptom));
    std::string spaced = name;
    for (char& letter : spaced) letter = letter == '-' ? ' ' : letter;
    for (const std::string& words : {name, spaced}) {
      INFO(words);
      CHECK(names(understand(words)) == name);
      CHECK(understand(words).clear);
    }
    for (const std::string_view phrase : guide.phrases) {
      INFO(phrase);
      CHECK(names(understand(phrase)) == name);
      CHECK(understand(phrase).clear);
    }
  }
}

TEST_CASE("what may mean several things is asked about") {
  for (const char* words :
       {"it looks rough", "spaghetti everywhere", "it came off", "the extruder clicks", "the gear grinds the filament",
        "layers shifted", "nozzle hits the print", "it stopped halfway through", "there are gaps", "crack"}) {
    INFO(words);
    CHECK(!understand(words).symptoms.empty());
    CHECK(!understand(words).clear);
  }
  CHECK(names(understand("it looks rough")) == "rough-top rough-first-layer");
  CHECK(names(understand("the extruder clicks")) == "clogging under-extrusion");
}

TEST_CASE("what is no fault of a print, or is said not to be so, is not understood") {
  for (const char* words : {"the printer caught fire",
                            "wrong colour",
                            "it is too expensive",
                            "smells funny",
                            "the screen is blank",
                            "hello",
                            "",
                            "12",
                            "it is one millimetre too small",
                            "waves beside the corners like an echo",
                            "does not string",
                            "no blobs at all",
                            "never clogs",
                            "the fan is loud",
                            "please print ten more",
                            "great print, no warping",
                            "?!",
                            "wifi does not connect",
                            "not clogged",
                            "my cat sat on it",
                            "the door does not close"}) {
    INFO(words);
    CHECK(names(understand(words)).empty());
    CHECK(!understand(words).clear);
  }
}

TEST_CASE("spelling, case, order and a long story do not matter") {
  CHECK(names(understand("IT STRINGS!!!")) == "stringing");
  CHECK(names(understand("together run the letters")) == "illegible-text");
  CHECK(names(understand("doesn't stick")) == "knocked-loose");
  CHECK(names(understand("doesnt stick")) == "knocked-loose");
  CHECK(names(understand("does not stick")) == "knocked-loose");
  CHECK(names(understand(std::string(100000, 'x') + " clogs")) == "clogging");
  CHECK(names(understand(std::string("\xff\xfe\x00 clogs", 10))) == "clogging");
}

}  // namespace
}  // namespace beadwise::tests
