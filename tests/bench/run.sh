#!/usr/bin/env bash
# Measures reading and the whole of `check` as ratios to `wc -l` within one run, and peak memory.
#
#   bash tests/bench/run.sh [MEGABYTES [ROUNDS]]      default: 300 MB, 5 rounds
#
# Each round runs every program once, in turn; the ratio given is the median over the rounds. Peak memory is what the
# kernel reports for the process (ru_maxrss).
set -euo pipefail
cd "$(dirname "$0")/../.."
megabytes=${1:-300}
rounds=${2:-5}
build=build/bench
cmake -S . -B $build -DCMAKE_BUILD_TYPE=Release -DBEADWISE_TESTS=OFF -DBEADWISE_BENCH=ON >/dev/null
cmake --build $build -j "$(nproc)" >/dev/null
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
make_toolpath=$build/tests/bench/bench_make_toolpath
read_only=$build/tests/bench/bench_read_only
beadwise=$build/cli/beadwise

seconds() {  # user and system time of a command
  local TIMEFORMAT='%U %S'
  { time "$@" >/dev/null 2>&1; } 2>&1 | awk '{print $1 + $2}'
}
median() { sort -n | awk '{v[NR] = $1} END {print NR % 2 ? v[(NR + 1) / 2] : (v[NR / 2] + v[NR / 2 + 1]) / 2}'; }

$make_toolpath "$megabytes" > "$work/job.gcode"
echo "$(stat -c %s "$work/job.gcode") bytes, $(wc -l < "$work/job.gcode") lines, $rounds rounds; ratios of processor time, one thread"
for round in $(seq "$rounds"); do
  base=$(seconds wc -l "$work/job.gcode")
  for what in parse machine beads; do
    seconds $read_only $what "$work/job.gcode" | awk -v b="$base" '{print $1 / b}' >> "$work/$what"
  done
  seconds $beadwise check --threads 1 --format json "$work/job.gcode" | awk -v b="$base" '{print $1 / b}' >> "$work/check"
done
for what in parse machine beads check; do
  printf '%-10s %6.1f times wc -l\n' $what "$(median < "$work/$what")"
done

for size in 100 1000; do
  $make_toolpath $size > "$work/job.gcode"
  python3 - "$beadwise" "$work/job.gcode" $size <<'PY'
import resource, subprocess, sys
subprocess.run([sys.argv[1], "check", "--threads", "1", "--format", "json", sys.argv[2]], stdout=subprocess.DEVNULL)
print(f"{sys.argv[3]:>5} MB job: peak memory {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.1f} MiB")
PY
done
