#!/usr/bin/env bash
# Do the examples do what they say? The gate before a queue, the program that prints verdicts.
#   bash tests/examples/run.sh BEADWISE SOURCE_DIR
set -uo pipefail
BEADWISE=$(realpath "$1")
export BEADWISE
source_dir=$(realpath "$2")
plates=$source_dir/examples/plates
verdict=$(dirname "$BEADWISE")/../examples/verdict
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
. "$source_dir/tests/support/facts.sh"

# ends STATUS COMMAND…
ends() {
  local wanted=$1 status=0
  shift
  "$@" || status=$?
  [ "$status" = "$wanted" ] || { echo "exit status $status instead of $wanted"; return 1; }
}

gate() { bash "$source_dir/examples/ci/gate.sh" "$@"; }

queue=$work/queue
mkdir -p "$queue/incoming"
fact "an empty queue is ready" ends 0 gate "$queue"
cp "$plates/row_label.gcode" "$queue/incoming/label.GCODE"
fact "a sound job passes" ends 0 gate "$queue"
fact "it goes to ready, with its report" test -f "$queue/ready/label.GCODE" -a -s "$queue/ready/label.GCODE.report.txt"
cp "$plates/crate_tag_heater_left_on.gcode" "$plates/crate_tag_broken_arc.gcode" "$queue/incoming/"
: >"$queue/incoming/empty.gcode"
fact "an error and an unreadable file are held" ends 1 gate "$queue"
fact "the one with the error is held" test -f "$queue/held/crate_tag_heater_left_on.gcode"
fact "the unreadable one is held" test -f "$queue/held/empty.gcode" -a -f "$queue/held/empty.gcode.report.txt"
fact "a warning passes the gate for errors" test -f "$queue/ready/crate_tag_broken_arc.gcode"
mv "$queue/ready/crate_tag_broken_arc.gcode" "$queue/incoming/"
fact "a warning is held by the gate for warnings" ends 1 gate "$queue" --gate warning
cp "$plates/row_label.gcode" "$queue/incoming/"
fact "a wrong option is wrong usage" ends 2 gate "$queue" --gate nonsense
fact "and moves nothing" test -f "$queue/incoming/row_label.gcode"
fact "no queue is wrong usage" ends 2 gate

if [ -x "$verdict" ]; then
  fact "verdict: a sound file" ends 0 "$verdict" "$plates/row_label.gcode"
  fact "verdict: a file with an error" ends 1 "$verdict" "$plates/crate_tag_heater_left_on.gcode"
  fact "verdict: an empty file" ends 3 "$verdict" "$queue/held/empty.gcode"
  fact "verdict: no file" ends 2 "$verdict"
fi

echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
