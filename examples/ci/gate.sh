#!/usr/bin/env bash
# A gate for the queue of a print bench: files in QUEUE/incoming that may be printed go to QUEUE/ready, the others to
# QUEUE/held, each with its report beside it. Run it from a timer, or after every upload.
#   bash examples/ci/gate.sh QUEUE [OPTION…]       options go to `beadwise check`, as `--gate warning` or `--profile FILE`
#   BEADWISE=build/cli/beadwise                    where the program is, if not on the PATH
# Exit status: 0 all ready, 1 some held, 2 wrong usage (then nothing is moved).
set -euo pipefail

[ $# -ge 1 ] || { echo "usage: gate.sh QUEUE [OPTION…]" >&2; exit 2; }
queue=$1
shift
beadwise=${BEADWISE:-beadwise}
mkdir -p "$queue/incoming" "$queue/ready" "$queue/held"

held=0
shopt -s nullglob nocaseglob
for job in "$queue"/incoming/*.{gcode,gco,g}{,.gz}; do
  name=$(basename "$job")
  status=0
  report=$("$beadwise" check --color never "$@" -- "$job") || status=$?
  case $status in
    0) to=ready ;;          # nothing at or above the gate
    1 | 3) to=held ;;       # a finding at or above the gate, or a file that could not be read to its end
    *) echo "$name: beadwise says $status: is the profile or an option wrong?" >&2; exit 2 ;;
  esac
  printf '%s\n' "$report" >"$queue/$to/$name.report.txt"
  mv -- "$job" "$queue/$to/$name"
  echo "$to: $name"
  [ "$to" = ready ] || held=1
done
exit "$held"
