#!/usr/bin/env bash
# Reports of the example plates against those that were looked at and approved.
#   bash tests/golden/run.sh BEADWISE SOURCE_DIR [--approve]
# With --approve the reports of now become the expected ones: read the difference before you commit it.
set -uo pipefail
beadwise=$(realpath "$1")
source_dir=$(realpath "$2")
approve=${3:-}
golden=$source_dir/tests/golden
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
unset NO_COLOR
passed=0
failed=0
# The reports are what is looked at here. With the checks named, a new check changes none of them; that the plates hold
# against all checks is tested elsewhere.
only=unread-line,bad-checksum,truncated-file,not-a-print,wrong-machine,implausible-bead,broken-arc,unhomed-move
only+=,mid-print-homing,outside-build-volume,cold-extrusion,heater-left-on,temperature-out-of-range,liner-overheat
only+=,dense-retraction

# compare NAME: the report in $work/NAME against the approved one.
compare() {
  local expected=$golden/$1.expected
  if [ "$approve" = --approve ]; then
    cp "$work/$1" "$expected"
  elif [ ! -e "$expected" ]; then
    failed=$((failed + 1))
    echo "FAILS: $1 has no approved report; run this script with --approve"
    return
  fi
  if diff -u "$expected" "$work/$1" >"$work/difference"; then
    passed=$((passed + 1))
    echo "holds: $1"
  else
    failed=$((failed + 1))
    echo "FAILS: $1"
    head -n 40 "$work/difference"
  fi
}

cd "$source_dir/examples/plates" || exit 1
while read -r plate; do
  stem=$(echo "${plate#./}" | sed 's/\.gcode$//; s|/|.|g')
  for format in text json; do
    "$beadwise" check --gate none --only "$only" --format "$format" "${plate#./}" >"$work/$stem.$format" 2>"$work/err"
    status=$?
    if [ "$status" -ne 0 ] || [ -s "$work/err" ]; then
      failed=$((failed + 1))
      echo "FAILS: $stem.$format ends with $status and says: $(cat "$work/err")"
      continue
    fi
    compare "$stem.$format"
  done
done < <(find . -name '*.gcode' | LC_ALL=C sort)

"$beadwise" check --gate none --only "$only" row_label.gcode crate_tag_heater_left_on.gcode crate_tag_not_homed.gcode >"$work/several.text"
compare several.text
"$beadwise" measure row_label.gcode >"$work/measure.text"
compare measure.text
"$beadwise" measure --per layer --format csv crate_tag_broken_arc.gcode >"$work/layers.csv"
compare layers.csv
"$beadwise" measure --per object irrigation_clip_relative.gcode >"$work/objects.text"
compare objects.text
"$beadwise" profile show row_label.gcode >"$work/profile.text"
compare profile.text

for expected in "$golden"/*.expected; do
  name=$(basename "$expected" .expected)
  [ -e "$work/$name" ] && continue
  failed=$((failed + 1))
  echo "FAILS: $name is approved, but no plate gives it"
done

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
