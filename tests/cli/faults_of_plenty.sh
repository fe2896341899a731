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
  as_stranger bash -c 'ulimit -u 1 && exec "$0" check --threads 2 --quiet "$1"' "$beadwise" "$clean" >out 2>err </dev/null
  status=$?
  fact "of one job, too" good
fi

# --- what a list leaves out
unknown() { # unknown COUNT: a job with so many different commands that nobody knows, and macros that may heat
  { cat short.gcode; python3 -c "for i in range($1): print(f'M{10000 + i}\nSTART_PRINT_{i}')"; } >unknown.gcode
}
unknown 30
run check --format json --gate none unknown.gcode
fact "what a list leaves out is counted: 5 of 30 macros, 20 of 60 commands" json out \
  "{'25 more lines call such macros, too.', 'Of 60 different commands that were passed over the 20 most frequent are told.'} <= set(d['files'][0]['unseen'])"
unknown 3000
run check --format json --gate none unknown.gcode
fact "also where not every name was kept" json out "any(s.startswith('Of more than 4096 different') for s in d['files'][0]['unseen'])"
fact "and no list is longer" json out "len(d['files'][0]['unknown_commands']) == 20 and len(d['files'][0]['unseen']) == 7"
run check --gate none unknown.gcode
fact "the text does not count what it does not know" test "$(grep -c '17 more' out)" -eq 0
