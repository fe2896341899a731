#include <doctest/doctest.h>
#include <fmt/format.h>
#include <unistd.h>

#include <boost/property_tree/ptree.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <random>
#include <set>
#include <sstream>

#include "report/markdown_text.hpp"
#include "sample_report.hpp"

using namespace beadwise;

namespace {

bool has(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

std::string note_of(const FileReport& report) { return check_as_markdown(std::span(&report, 1)); }

// The outside opinion: cmark-gfm, the reference implementation of CommonMark with tables and with links that are made
// of bare words (Debian package cmark-gfm).
bool has_reference() { return std::system("cmark-gfm --version >/dev/null 2>&1") == 0; }

using Tree = boost::property_tree::ptree;

/// What the reference reads in a note.
struct Read {
  std::set<std::string> kinds;      ///< of nodes
  std::string text;                 ///< all that a reader sees, a line per block
  std::string in_code;              ///< the part of it that is code
  std::vector<std::string> blocks;  ///< the same, block by block
};

void read_node(const std::string& kind, const Tree& node, Read& read) {
  if (kind == "<xmlattr>") return;
  read.kinds.insert(kind);
  if (kind == "text" || kind == "code") read.text += node.data();
  if (kind == "code") read.in_code += node.data() + '\n';
  for (const auto& [name, child] : node) read_node(name, child, read);
  const bool is_block = kind == "paragraph" || kind == "table_cell" || kind == "heading" || kind == "code_block";
  if (!is_block) return;
  read.blocks.push_back(std::exchange(read.text, {}));
}

Read as_read(const std::string& markdown) {
  const std::filesystem::path path =
      std::filesystem::temp_directory_path() / fmt::format("beadwise-note-{}.md", ::getpid());
  std::ofstream(path, std::ios::binary) << markdown;
  const std::string command =
      "cmark-gfm -e table -e autolink -e strikethrough -e footnotes -e tasklist -t xml '" + path.string() + "'";
  std::FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string xml;
  char buffer[4096];
  for (std::size_t got = 0; (got = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) xml.append(buffer, got);
  REQUIRE(::pclose(pipe) == 0);
  std::filesystem::remove(path);
  // The declaration of the type of document is none that the reader of trees knows.
  if (const std::size_t type = xml.find("<!DOCTYPE"); type != std::string::npos)
    xml.erase(type, xml.find('>', type) + 1 - type);
  std::istringstream stream(xml);
  Tree tree;
  boost::property_tree::read_xml(stream, tree, boost::property_tree::xml_parser::no_comments);
  Read read;
  for (const auto& [name, child] : tree) read_node(name, child, read);
  for (const std::string& block : read.blocks) read.text += block + '\n';
  return read;
}

/// What a note is made of, and nothing else.
const std::set<std::string> own_kinds = {"document",     "paragraph", "text",       "strong",
                                         "code",         "list",      "item",       "table",
                                         "table_header", "table_row", "table_cell", "thematic_break"};

std::vector<std::string> foreign_kinds(const Read& read) {
  std::vector<std::string> foreign;
  for (const std::string& kind : read.kinds)
    if (!own_kinds.contains(kind)) foreign.push_back(kind);
  return foreign;
}

const std::vector<std::string> hostile = {
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<!-- hidden -->",
    "[press here](http://orchard.example/)",
    "![picture](http://orchard.example/p.png)",
    "[label]: http://orchard.example",
    "http://orchard.example/a?b=c&d",
    "https://orchard.example",
    "www.orchard.example",
    "(www.orchard.example)",
    "gardener@orchard.example",
    "mailto:gardener@orchard.example",
    "@everyone",
    "and (@team/leads), too",
    "#12",
    "orchard/labels#12",
    "!7",
    ":tada:",
    "**loud** __loud__ *soft* _soft_ ~~gone~~",
    "a | b | c",
    "| --- |",
    "# Heading",
    "- [ ] task",
    "1. one",
    "> quoted",
    "+ plus",
    "=====",
    "&lt;b&gt; &amp; &#64;",
    "back\\slash \\` \\| \\",
    "$x^2$",
    "[^1] and [^1]: foot",
    "<http://orchard.example>",
    "    indented",
    "trailing blank ",
    "\xE2\x80\xAE turned",
    "``` fence",
    "one ` alone",
    "a``b",
};

/// The text as a screen shows it: what would turn it round is gone, ends do not count.
std::string visible(std::string text) {
  for (std::size_t at = 0; (at = text.find("\xE2\x80\xAE")) != std::string::npos;) text.replace(at, 3, "\xEF\xBF\xBD");
  return text;
}

std::string without(std::string text, char letter) {
  std::erase(text, letter);
  return text;
}

std::string without_last_blanks(std::string text) { return text.erase(text.find_last_not_of(' ') + 1); }

FileReport accepted_report() {
  FileReport report = sample_report();
  report.findings[0].accepted = Acceptance{"The labels are painted.", "orchard.toml:12", true};
  return report;
}

}  // namespace

TEST_CASE("a note begins with the verdict, then the file with the job in a line") {
  const std::string note = note_of(sample_report());
  CHECK(note.starts_with(
      "**Do not print this as it is: 1 error.**\n\n`row-labels.gcode`: 42 layers in about 1 h 12 min"));
}

TEST_CASE("an error is told in full") {
  const std::string note = note_of(sample_report());
  CHECK(has(note, "\n**1. Error: dense-retraction** (clogging and under-extrusion)\n\n- **What:** One stretch"));
  CHECK(has(note, "\n- **Why:** The gear grinds the filament away and then slips.\n- **Do:** Join the travels"));
  CHECK(has(note, "\n- **Where:** layer 12, X 12.1 Y 5.5 Z 2.4, line 1203: 131 passes; "));
  CHECK(has(note,
            "48 places in all: layers 12 to 14, lines 1203 to 1250\n- **Limit:** 100 passes (built-in); here 131\n"));
}

TEST_CASE("who reaches into a hot machine is told to mind it") {
  CHECK(has(note_of(sample_report()), "\n**Mind**\n\n- Nozzle, hot end and bed burn"));
  CHECK_FALSE(has(note_of(clean_report()), "**Mind**"));
}

TEST_CASE("a note of a finding that is only worth knowing takes a line") {
  FileReport report = sample_report();
  report.findings[0].severity = Severity::note;
  const std::string note = note_of(report);
  CHECK(
      has(note, "\n**Worth knowing**\n\n- dense-retraction: One stretch of filament passes the drive gear 131 times"));
  CHECK_FALSE(has(note, "**Why:**"));
}

TEST_CASE("what was accepted is marked with the reason") {
  const std::string note = note_of(accepted_report());
  CHECK(has(note, "\n**Known and accepted**\n\n- Error: dense-retraction: One stretch"));
  CHECK(has(note, " Accepted: The labels are painted. (`orchard.toml:12`)\n"));
  CHECK_FALSE(has(note, "**1. Error"));
}

TEST_CASE("what was accepted in vain is told") {
  FileReport report = clean_report();
  report.unused_acceptances = {
      {.check = "low-travel", .where = "tree tag", .from = "beadwise.toml:7", .in_profile = true}};
  CHECK(has(note_of(report), "\n**Accepted in vain**\n\n- `beadwise.toml:7`: what is accepted of"));
  CHECK_FALSE(has(note_of(clean_report()), "Accepted in vain"));
}

TEST_CASE("what was assumed stands with the key that says otherwise; what was stated does not") {
  const std::string note = note_of(sample_report());
  CHECK(has(note, "`--set KEY=VALUE`"));
  CHECK(has(note, "\n- `machine.nozzle_diameter_mm = 0.4` (from the file): Most beads are 0.45 mm wide.\n"));
  CHECK_FALSE(has(note, "machine.liner"));
  CHECK(has(note, "\n- Skipped short-spool: nobody stated how much filament is left\n"));
}

TEST_CASE("several files: a table first, then those with findings") {
  const std::vector<FileReport> reports = {clean_report(), sample_report()};
  const std::string note = check_as_markdown(reports);
  CHECK(note.starts_with("**2 files, by the worst found in each: 1 error and 1 clean.**\n\n| file | verdict |"));
  CHECK(has(note, "\n| `row-labels.gcode` | clean | 0 | 0 | 0 | 1 h 12 min | 3.42 m |\n"));
  CHECK(has(note, "\n| `row-labels.gcode` | error | 1 | 0 | 0 | 1 h 12 min | 3.42 m |\n"));
  CHECK(has(note, "\n**1. Error: dense-retraction**"));
  CHECK_FALSE(has(note, "**Assumed**"));
}

TEST_CASE("a note is short, however much was found or named") {
  FileReport report = sample_report();
  report.file = std::string(1'000'000, '*');
  report.findings[0].what = std::string(1'000'000, '<');
  for (int i = 0; i < 500; ++i) report.findings.push_back(report.findings[0]);
  report.unseen = std::vector<std::string>(1000, "`START` is a macro.");
  const std::string note = note_of(report);
  CHECK(has(note, "And 471 more"));
  CHECK(note.size() < 400'000);
}

TEST_CASE("words that are more than words are code, what stands beside them is not") {
  CHECK(
      markdown_prose("Put `M83` before line 21 (see machine.e_unit), or state --set machine.nozzle_diameter_mm=0.4.") ==
      "Put `M83` before line 21 (see `machine.e_unit`), or state `--set machine.nozzle_diameter_mm=0.4`.");
  CHECK(markdown_prose("A flow of 14.6 mm³/s at 215 °C, 3 % of * and 1 < 2.") ==
        "A flow of 14.6 mm³/s at 215 °C, 3 % of \\* and 1 &lt; 2.");
}

TEST_CASE("a cut does not part a letter") {
  std::string name = "a";
  while (name.size() < 2 * most_markdown_bytes) name += "é";
  CHECK_FALSE(has(markdown_code(name), "\xEF\xBF\xBD"));
}

TEST_CASE("the reference makes links of bare words, so that what is inert here was tried" *
          doctest::skip(!has_reference())) {
  CHECK(as_read("see www.orchard.example").kinds.contains("link"));
  CHECK(as_read("<b>loud</b>").kinds.contains("html_inline"));
}

TEST_CASE("the reference reads what was meant" * doctest::skip(!has_reference())) {
  const std::vector<FileReport> reports = {clean_report(), sample_report(), accepted_report()};
  for (const std::string& note : {note_of(sample_report()), note_of(accepted_report()), check_as_markdown(reports)}) {
    const Read read = as_read(note);
    CHECK(foreign_kinds(read) == std::vector<std::string>());
    CHECK(has(read.text, "row-labels.gcode"));
    CHECK(has(read.text, "What: One stretch of filament passes the drive gear 131 times on layers 12 to 14.\n") !=
          (note == note_of(accepted_report())));
    CHECK_FALSE(has(read.text, "**"));
  }
  CHECK(as_read(check_as_markdown(reports)).kinds.contains("table"));
}

TEST_CASE("the reference shows hostile names letter by letter, as code" * doctest::skip(!has_reference())) {
  for (const std::string& name : hostile) {
    CAPTURE(name);
    FileReport report = sample_report();
    report.file = name;
    const Read alone = as_read(note_of(report));
    CHECK(foreign_kinds(alone) == std::vector<std::string>());
    CHECK(has(alone.text, '\n' + visible(name) + ": 42 layers"));
    const std::vector<FileReport> both = {report, report};
    const Read several = as_read(check_as_markdown(both));
    CHECK(foreign_kinds(several) == std::vector<std::string>());
    // Seven cells of the head and seven of each file, after the sentence.
    CHECK(several.blocks.at(1 + 7) == visible(name));
    CHECK(several.blocks.at(1 + 7 + 7) == visible(name));
    CHECK(several.blocks.at(1 + 7 + 7 + 1) == "error");
  }
}

TEST_CASE("the reference shows hostile words in sentences as they are" * doctest::skip(!has_reference())) {
  for (const std::string& words : hostile) {
    CAPTURE(words);
    FileReport report = sample_report();
    report.findings[0].what = "Line 3 says " + words;
    report.unseen = {words};
    report.findings.push_back(report.findings[0]);
    report.findings[1].accepted = Acceptance{words, words, true};
    report.assumptions[0].because = words;
    const Read read = as_read(note_of(report));
    CHECK(foreign_kinds(read) == std::vector<std::string>());
    // Backticks in pairs mark code and are not shown.
    CHECK(has(without(read.text, '`'), "\nWhat: Line 3 says " + without(without_last_blanks(visible(words)), '`')));
    for (const char* call : {"@everyone", "@team", "@orchard", "#12", "!7", ":tada:", "www.", "//orchard"}) {
      std::string outside = read.text;
      std::istringstream in_code(read.in_code);
      for (std::string line; std::getline(in_code, line);)
        if (const std::size_t at = outside.find(line); !line.empty() && at != std::string::npos)
          outside.erase(at, line.size());
      CHECK_FALSE(has(outside, call));
    }
  }
}

TEST_CASE("the reference shows any name letter by letter, in a cell too" * doctest::skip(!has_reference())) {
  constexpr std::string_view letters = "ab `|\\<&*_[](#@-";
  std::mt19937 random(20);
  std::string cells = "| a |\n| --- |\n";
  std::vector<std::string> names;
  for (int i = 0; i < 2000; ++i) {
    std::string name = "x";
    for (std::size_t length = random() % 12; length > 0; --length) name += letters[random() % letters.size()];
    name += i % 2 == 0 ? "x" : "";
    names.push_back(name);
    cells += "| " + markdown_code(name) + " |\n";
  }
  const Read read = as_read(cells);
  CHECK(foreign_kinds(read) == std::vector<std::string>());
  REQUIRE(read.blocks.size() == names.size() + 1);
  for (std::size_t i = 0; i < names.size(); ++i) CHECK(read.blocks[i + 1] == names[i]);
}
