# shellcheck shell=bash
# Ten thousand files in one go, and less of everything than usual; read by faults.sh, whose words it uses.

mkdir plenty
python3 -c "
import os
for i in range(10000): os.link('short.gcode', f'plenty/{i:05}.gcode')"
limited "-n 64" check --threads 64 --gate none --format json plenty
all_read() { json out "len(d['files']) == 10000 and all(f['verdict'] != 'unreadable' for f in d['files'])"; }
fact "a folder of 10,000 files is read with 64 open files allowed and 64 threads asked for" all_read
fact "without a word" good
cp out plenty.json
(ulimit -v 1500000 -n 64 && cd plenty && exec "$beadwise" check --gate none --format json -- *) >out 2>err </dev/null
status=$?
fact "so is a command line of 10,000 names, in 1.5 GB of memory" all_read
fact "and ends well" good
all_same() { python3 -c "
import json
one, two = ([{k: v for k, v in f.items() if k != 'file'} for f in json.load(open(n))['files']] for n in ('out', 'plenty.json'))
assert one == two and all(f == one[0] for f in one)"; }
fact "all of them alike, as their jobs are" all_same
if can_be_stranger; then
  as_stranger bash -c 'ulimit -u 1 && exec "$0" check --threads 8 --quiet "$1" "$1" "$1"' "$beadwise" "$clean" >out 2>err </dev/null
  status=$?
  fact "where there are no more threads to be had, those there are do the work" good
fi
