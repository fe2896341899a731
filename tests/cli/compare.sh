# shellcheck shell=bash
# What `beadwise compare` promises at the command line; read by run.sh, whose words it uses.

before=$plates/grafting_jig_dragged_pins.gcode
long=$plates/crate_handle_long_bridge.gcode
run compare --help
fact "help of 'beadwise compare' ends well" good
fact "help of 'beadwise compare' has an example" grep -q '^  beadwise compare ' out
run compare --gate note "$before" "$before"
fact "a file compared with itself is good" good
fact "and has not changed" says "Nothing changed: "
run compare --gate warning "$clean" "$long"
fact "a new warning stops at its gate" ends_with 1
fact "it is told as new, by its check" says "New: WARNING unsupported-bead"
fact "no line of compare is wider than 80 columns" test "$(LC_ALL=C.UTF-8 wc -L <out)" -le 80
run compare "$clean" "$long"
fact "and passes the usual one" good
run compare --gate note "$long" "$clean"
fact "what is gone stops nothing" good
fact "it is told as gone" says "Gone: WARNING unsupported-bead"
run compare --quiet "$long" "$clean"
fact "--quiet leaves out what is gone, and the figures" says_not "Gone"

# --- reports
run check --gate none --format json "$before"
cp out before.json
run compare --gate note before.json "$before"
fact "a report stands for its file" good
fact "nothing has changed since it was written" says "Nothing changed: "
run compare --gate note "$before" before.json
fact "on either side" says "Nothing changed: "
"$beadwise" compare - "$before" <before.json >out 2>err
status=$?
fact "a report is read from standard input" says "Nothing changed: "
# shellcheck disable=SC2002
cat before.json | "$beadwise" compare "$before" - >out 2>err
status=$?
fact "and through a pipe" says "Nothing changed: "
# shellcheck disable=SC2002
cat "$before" | "$beadwise" compare before.json - >out 2>err
status=$?
fact "so is a print" says "Nothing changed: "
run check --gate none --format json "$before" "$long"
cp out two.json
run compare two.json "$before"
fact "of a report of two files the one of that name is taken" says "Nothing changed: "
run compare two.json "$clean"
fact "where there is none of that name it is wrong usage" wrong_usage "2 files"
head -c 3000 before.json >cut.json
run compare cut.json "$before"
fact "a damaged report could not be read" complains 3 "cut.json:"
sed 's/"schema_version": 1/"schema_version": 7/' before.json >newer.json
run compare newer.json "$before"
fact "nor could a newer one" complains 3 "schema_version"
run compare "$before" lost.gcode
fact "a missing file ends with 3" complains 3 "lost.gcode"
run compare "$before"
fact "one file is wrong usage" wrong_usage "two files"
run compare - -
fact "standard input can be one side only" wrong_usage "once"
run compare --format sarif "$before" "$before"
fact "compare has no sarif" wrong_usage "markdown"

# --- sliced again: without comments, with other line numbers, moved on the plate
python3 - "$before" <<'P'
import re, sys
lines = open(sys.argv[1]).read().splitlines()
bare = [line.split(";")[0].rstrip() for line in lines]
open("bare.gcode", "w").write("\n".join("; a line more\n" + line for line in bare if line) + "\n")
def moved(match):
    by = {"X": 11.5, "Y": -3.25}[match.group(1)]
    return "%s%.3f" % (match.group(1), float(match.group(2)) + by)
out = [re.sub(r"\b([XY])(-?[0-9.]+)", moved, line) if re.match(r"G[0123] ", line) else line for line in lines]
open("moved.gcode", "w").write("\n".join(out) + "\n")
P
for anew in bare moved; do
  run compare --gate note "$before" $anew.gcode
  fact "sliced again ($anew) nothing has changed" says "Nothing changed: "
done

# --- the same answer, reached from outside: two reports matched by fingerprint alone
python3 - "$before" <<'P'
import sys
# The bed stays on.
lines = open(sys.argv[1]).read().splitlines()
keep = [line for line in lines if not line.startswith("M140 S0")]
open("after.gcode", "w").write("\n".join(keep) + "\n")
P
run check --gate none --format json after.gcode
cp out after.json
run compare --format json "$before" after.gcode
cp out compared.json
run compare --format json after.gcode "$before"
cp out swapped.json
by_hand() {
  python3 - <<'P'
import json
def findings(name):
    return {(f["check"], f["fingerprint"]): f for f in json.load(open(name))["files"][0]["findings"]}
before, after = findings("before.json"), findings("after.json")
compared, swapped = json.load(open("compared.json")), json.load(open("swapped.json"))
def told(comparison, change, side):
    return sorted((f["check"], f[side]["fingerprint"]) for f in comparison["findings"] if f["change"] == change)
assert told(compared, "new", "after") == sorted(set(after) - set(before)), "new"
assert told(compared, "gone", "before") == sorted(set(before) - set(after)), "gone"
assert told(compared, "new", "after"), "the plate must differ"
both = [f for f in compared["findings"] if f["before"] and f["after"]]
assert sorted((f["check"], f["before"]["fingerprint"]) for f in both) == sorted(set(before) & set(after)), "both"
assert told(swapped, "gone", "before") == told(compared, "new", "after"), "swapped"
assert swapped["counts"]["better"] == compared["counts"]["worse"], "swapped"
figures = {f["figure"]: f for f in compared["figures"]}
jobs = [json.load(open(n))["files"][0]["job"] for n in ("before.json", "after.json")]
for key in ("duration_s", "layers", "filament_fed_mm", "travel_path_mm", "retractions", "max_gear_passes"):
    assert figures[key]["before"] == jobs[0][key] and figures[key]["after"] == jobs[1][key], key
P
}
fact "compare finds what a match of two reports by fingerprint finds, both ways" by_hand
run compare --gate error "$before" after.gcode
fact "a new error stops" ends_with 1
run compare --format markdown "$before" after.gcode
fact "Markdown has the figures" says "| printing time, min |"
run compare --gate none --out json=c1.json --out markdown=c.md --threads 1 "$before" after.gcode
fact "--out writes files too" json c1.json "d['comparison_version'] == 1"
fact "the same bytes for any number of threads" cmp -s c1.json compared.json
