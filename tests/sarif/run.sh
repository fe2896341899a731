#!/usr/bin/env bash
# SARIF logs held against what is not ours: the schema of version 2.1.0 with Ajv, the multitool's validator, which finds
# what no schema can say, and its matching of results from one log to the next.
#   bash tests/sarif/run.sh BEADWISE SOURCE_DIR
# Exit status 77 where there is nothing to test with; one sentence says what is missing.
set -uo pipefail
beadwise=$(realpath "$1")
source_dir=$(realpath "$2")
here=$source_dir/tests/sarif
plates=$source_dir/examples/plates
tool=$here/node_modules/@microsoft/sarif-multitool-linux
passed=0
failed=0

skip() {
  echo "SARIF was not held against its schema: $1."
  exit 77
}
command -v node >/dev/null || skip "there is no Node.js"
[ -d "$here/node_modules/ajv" ] && [ -e "$tool/Sarif.Multitool" ] ||
  skip "the packages of tests/sarif/package.json are not installed"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# npm runs no script of theirs, so the program is no program yet; it is not touched where it lies.
multitool=$work/multitool
cp "$tool/Sarif.Multitool" "$multitool" && chmod u+x "$multitool"
export DOTNET_BUNDLE_EXTRACT_BASE_DIR=$work/bundle DOTNET_SYSTEM_GLOBALIZATION_INVARIANT=1
"$multitool" version >/dev/null 2>&1 || skip "the multitool does not run on this machine"

# fact NAME COMMAND…: the command must succeed.
fact() {
  local name=$1
  shift
  if "$@" >"$work/said" 2>&1; then
    passed=$((passed + 1))
    echo "holds: $name"
  else
    failed=$((failed + 1))
    echo "FAILS: $name"
    head -c 1500 "$work/said" | sed 's/^/  | /'
  fi
}
fails() { ! "$@"; }

# Ajv 8.20.0, the schema as the multitool carries it.
holds_by_schema() { node "$here/check_schema.mjs" "$tool/sarif-2.1.0.json" "$@"; }

# The multitool's exit status says nothing; its own log does.
holds_by_validator() {
  rm -f "$work/checked.sarif"
  "$multitool" validate "$@" -o "$work/checked.sarif" --log ForceOverwrite --level "Error;Warning;Note"
  python3 - "$work/checked.sarif" <<'PYTHON'
import json, sys
with open(sys.argv[1], encoding="utf-8-sig") as file:
    runs = json.load(file)["runs"]
wrong = [(result["ruleId"], result["message"]) for run in runs for result in run["results"] if result.get("level") == "error"]
print(*wrong, sep="\n")
sys.exit(bool(wrong) or not runs)
PYTHON
}

# spoilt FILE EXPRESSION: a log after a statement of Python on `run`.
spoilt() {
  python3 - "$work/plates.sarif" "$1" "$2" <<'PYTHON'
import json, sys
with open(sys.argv[1], encoding="utf-8") as file:
    log = json.load(file)
run = log["runs"][0]
exec(sys.argv[3])
with open(sys.argv[2], "w", encoding="utf-8") as file:
    json.dump(log, file)
PYTHON
}

# What a job queue gets: every plate, with what cannot be read, a profile, packed and foreign files.
mkdir "$work/bench"
cp "$plates"/*.gcode "$work/bench"
cd "$work/bench" || exit 1
gzip -k row_label_cut_off.gcode
printf '\xef\xbb\xbf; \xc3\x84pfel \xf0\x9f\x8d\x8e\r\nG1 X{\xe4} Y1\r\nG28\r\nM104 S200\r\n' >'Äpfel 100 %.gcode'
tr '\n' '\r' <crate_tag_bad_checksum.gcode >cr_alone.gcode
mkdir stated
cp crate_tag_placeholder.gcode stated
cat >stated/beadwise.toml <<'TOML'
[checks.thin-stroke]
off = true
[checks.low-travel]
min_lift_mm = 0.3
[[accept]]
check = "unread-line"
where = "crate tag placeholder"
because = "the sender fills it in"
[[accept]]
check = "open-fill"
where = "crate tag placeholder"
because = "nobody looks at the back"
TOML
check() { "$beadwise" check --gate none --format sarif "$@" 2>/dev/null; }
check ./*.gcode ./*.gz stated missing.gcode >"$work/plates.sarif"
check row_label.gcode >"$work/clean.sarif"
check missing.gcode >"$work/missing.sarif"
check - <crate_tag_bad_checksum.gcode >"$work/stdin.sarif"

logs=("$work"/{plates,clean,missing,stdin}.sarif)
for log in "${logs[@]}"; do
  fact "the schema holds: $(basename "$log")" holds_by_schema "$log"
done
fact "the validator finds no error in any of them" holds_by_validator "${logs[@]}"
spoilt "$work/wrong.sarif" 'run["results"][0]["level"] = "fatal"'
fact "the schema refuses a level that there is not" fails holds_by_schema "$work/wrong.sarif"
spoilt "$work/wrong.sarif" 'del run["results"][0]["message"]'
fact "the schema refuses a result without a message" fails holds_by_schema "$work/wrong.sarif"
spoilt "$work/wrong.sarif" 'next(r for r in run["results"] if "region" in r["locations"][0]["physicalLocation"])["locations"][0]["physicalLocation"]["region"].update(startLine=9, endLine=8)'
fact "the validator refuses a region that ends before it begins" fails holds_by_validator "$work/wrong.sarif"
spoilt "$work/wrong.sarif" 'run["results"][0]["ruleIndex"] = 999'
fact "the validator refuses a rule that there is not" fails holds_by_validator "$work/wrong.sarif"

# match BEFORE AFTER: how many results of each state the multitool sees, as "new=1 unchanged=3".
match() {
  mkdir -p "$work/matched"
  rm -f "$work"/matched/*
  "$multitool" match-results-forward "$2" --previous "$1" -o "$work/matched/log.sarif" --log ForceOverwrite >"$work/said" 2>&1
  python3 - "$work/matched/log.sarif" <<'PYTHON'
import collections, json, sys
with open(sys.argv[1], encoding="utf-8-sig") as file:
    states = collections.Counter(result.get("baselineState") for result in json.load(file)["runs"][0]["results"])
print(*(f"{state}={count}" for state, count in sorted(states.items())))
PYTHON
}
# Everything is known: nothing new, nothing gone.
all_known() { [[ "$1" != *new=* && "$1" != *absent=* && "$1" == *=* ]] || { echo "$1"; false; }; }

# A plate as another slicing gives it: comments in front, other line ends, 3 mm to the right.
again() {
  python3 - "$1" "$2" <<'PYTHON'
import re, sys
with open(sys.argv[1], encoding="utf-8") as file:
    text = file.read()
moved = re.sub(r"(?m)^(G[0-3] [^;\n]*?X)(-?[0-9.]+)", lambda found: f"{found[1]}{float(found[2]) + 3:.3f}", text)
with open(sys.argv[2], "w", encoding="utf-8", newline="\r\n") as file:
    file.write("; sliced again\n; for the bench\n" * 20 + moved)
PYTHON
}
mkdir "$work/next"
for plate in crate_tag_bad_checksum grafting_jig_dragged_pins irrigation_clips_not_pulled_back row_label_cut_off; do
  check "$plate.gcode" >"$work/before.sarif"
  again "$plate.gcode" "$work/next/$plate.gcode"
  (cd "$work/next" && check "$plate.gcode") >"$work/after.sarif"
  fact "$plate sliced again has the results that it had" all_known "$(match "$work/before.sarif" "$work/after.sarif")"
done

check crate_tag_bad_checksum.gcode >"$work/before.sarif"
sed '40i G1 X{front} Y5' crate_tag_bad_checksum.gcode >"$work/next/crate_tag_bad_checksum.gcode"
(cd "$work/next" && check crate_tag_bad_checksum.gcode) >"$work/after.sarif"
known=$(match "$work/before.sarif" "$work/after.sarif")
fact "a fault more is one new result beside the others: $known" grep -qE '^new=1 (unchanged|updated)=' <<<"$known"
known=$(match "$work/after.sarif" "$work/before.sarif")
fact "a fault less is one result that is absent: $known" grep -qE '^absent=1 (unchanged|updated)=' <<<"$known"

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
