#!/usr/bin/env bash
# Faults of the world around: files that may not be read, change or never end, full disks, readers that go away, signals,
# thousands of files, names that nobody would give. Each ends with a sentence, the others are still checked, and the exit
# status is the one of docs/gate.md.
#   bash tests/cli/faults.sh BEADWISE SOURCE_DIR
set -uo pipefail
here=$(dirname "$(realpath "$0")")
plates=$(realpath "$2")/examples/plates
work=$(mktemp -d)
trap 'chmod -R u+rwX "$work" 2>/dev/null; rm -rf "$work"' EXIT
# Another user must get at the program, too.
chmod 755 "$work"
cp "$1" "$work/beadwise"
beadwise=$work/beadwise
export TMPDIR=$work/tmp
mkdir -m 1777 "$TMPDIR"
mkdir "$work/here"
cd "$work/here" || exit 1
unset NO_COLOR
# shellcheck source=tests/cli/facts.sh
source "$here/facts.sh"

clean=$plates/row_label.gcode
bad=$plates/crate_tag_heater_left_on.gcode
# The shortest job there is a verdict of.
printf 'G28\nM109 S200\nG1 Z0.2 F600\nG1 X20 E1 F1200\nM104 S0\nM84\n' >short.gcode

# Ends what does not end by itself: a fault, not a slow machine.
longest="timeout 120"
limited() { # limited WHAT ARGUMENTS…: runs with `ulimit WHAT`
  local what=$1
  shift
  # shellcheck disable=SC2086
  (ulimit $what && exec $longest "$beadwise" "$@") >out 2>err </dev/null
  status=$?
}
can_be_stranger() { [ "$(id -u)" -ne 0 ] || setpriv --reuid=65534 --regid=65534 --clear-groups true 2>/dev/null; }
as_stranger() { if [ "$(id -u)" -ne 0 ]; then "$@"; else setpriv --reuid=65534 --regid=65534 --clear-groups "$@"; fi; }
run_as_stranger() {
  as_stranger "$beadwise" "$@" >out 2>err </dev/null
  status=$?
}
verdicts() { json out "[f['verdict'] for f in d['files']] == $1"; }
one_sentence() { [ "$(wc -l <err)" -eq 1 ] && grep -q '^beadwise: ' err && grep -qF -- "$1" err; }
nothing_left() { [ -z "$(ls -A "$TMPDIR")" ] && [ -z "$(find . -name '*.part' 2>/dev/null)" ]; }

# --- may not be read
if can_be_stranger; then
  mkdir shut folder
  cp "$clean" shut/label.gcode
  cp "$clean" folder/a.gcode
  cp "$bad" folder/b.gcode
  cp "$clean" folder/c.gcode
  chmod 000 shut folder/b.gcode
  run_as_stranger check --format json folder/a.gcode folder/b.gcode folder/c.gcode
  fact "a file that may not be read does not keep those around it from being checked" \
    verdicts "['clean', 'unreadable', 'clean']"
  fact "and is told in a sentence that says what to do, with status 3" complains 3 \
    "folder/b.gcode: may not be read by this user: change its permissions or copy it"
  run_as_stranger check --format json folder
  fact "so it is in a folder" verdicts "['clean', 'unreadable', 'clean']"
  fact "with the same sentence and status" complains 3 folder/b.gcode
  run_as_stranger check --format json "$clean" shut "$clean"
  fact "a folder that may not be listed is told, with status 2, and the others are checked" complains 2 \
    "shut: this folder cannot be listed"
  fact "all of them" verdicts "['clean', 'clean']"
  run_as_stranger check --format json shut/label.gcode "$clean"
  fact "a file in such a folder is one that cannot be read" verdicts "['unreadable', 'clean']"
  fact "with status 3" complains 3 shut/label.gcode
  printf '[machine]\nnozzle_diameter_mm = 0.6\n' >shut.toml
  chmod 000 shut.toml
  run_as_stranger check --profile shut.toml "$clean"
  fact "a profile that may not be read is one sentence and status 2" wrong_usage "shut.toml: cannot be read"
  chmod 755 shut
else
  echo "(this user cannot become another: that files may not be read is not tried)"
fi

# --- changes while it is read
# A pipe that is read first holds the program up: the folder is listed, and its files are not yet read.
change_behind_its_back() {
  mkdir changing
  for name in a b c d e; do cp "$bad" "changing/$name.gcode"; done
  mkfifo gate
  $longest "$beadwise" check --threads 1 --gate none --format json gate changing >out 2>err </dev/null &
  exec 4>gate
  rm changing/b.gcode changing/c.gcode
  mkdir changing/c.gcode
  : >changing/d.gcode
  head -c 2000 "$bad" >changing/e.gcode
  cat "$clean" >&4
  exec 4>&-
  wait $!
  status=$?
}
change_behind_its_back
fact "files that change between listing and reading are told as they are then, with status 3" ends_with 3
fact "removed, a folder now, empty: unreadable; cut short: read to its end" verdicts \
  "['clean', 'error', 'unreadable', 'unreadable', 'unreadable', 'error']"
fact "one sentence for each that cannot be read" test "$(grep -c '^beadwise: changing/[bcd].gcode: ' err)" -eq 3
fact "and no more" test "$(wc -l <err)" -eq 3
cp "$bad" removed.gcode
exec 5<removed.gcode
rm removed.gcode
run check --format json --gate none /dev/fd/5
exec 5<&-
cp out removed.json
run check --format json --gate none "$bad"
same_job() { [ "$(python3 -c "import json; f=json.load(open('$1'))['files'][0]; print(f['job'], f['sha256'], f['findings'])")" = "$(python3 -c "import json; f=json.load(open('$2'))['files'][0]; print(f['job'], f['sha256'], f['findings'])")" ]; }
fact "a file that is removed once it is open is read to its end" same_job removed.json out
# Reading and changing go on side by side, in whatever order the machine likes: all of them must end well.
while_changing() { # while_changing SHELL-COMMANDS: the worst that runs beside them ended with
  for _ in 1 2 3 4 5 6 7 8; do cat "$bad"; done >moving.gcode
  cp moving.gcode moving.orig
  (while :; do eval "$1"; done) &
  local changer=$! worst=0
  for _ in 1 2 3 4 5 6; do
    $longest "$beadwise" check --out html=moving.html --out sarif=moving.sarif --format json moving.gcode >out 2>err </dev/null
    status=$?
    [ "$status" -gt "$worst" ] && worst=$status
    python3 -c "import json; json.load(open('out')); json.load(open('moving.sarif'))" || worst=99
  done
  kill "$changer"
  wait "$changer" 2>/dev/null
  status=$worst
}
ends_as_documented() { [ "$status" -eq 0 ] || [ "$status" -eq 1 ] || [ "$status" -eq 3 ]; }
while_changing 'truncate -s 3000 moving.gcode; cat moving.orig >moving.gcode'
fact "a file that shrinks while it is read gives whole reports and a documented status" ends_as_documented
while_changing 'cat moving.orig >>moving.gcode; sleep 0.02; truncate -s 200000 moving.gcode'
fact "so does one that grows" ends_as_documented
while_changing 'rm -f moving.gcode; sleep 0.01; cp moving.orig moving.gcode'
fact "and one that comes and goes" ends_as_documented

# --- no plain files
fed() { "$beadwise" "$@" >out 2>err </dev/null; status=$?; }
fed check --format json --gate none <(cat "$bad")
cp out piped.json
run check --format json --gate none "$bad"
fact "what comes through a named pipe is read as a file is" same_job piped.json out
run check --format sarif --gate none "$bad"
cp out plain.sarif
fed check --format sarif --gate none --out html=piped.html <(cat "$bad")
regions() { python3 -c "import json; print([x['locations'][0]['physicalLocation'].get('region') for x in json.load(open('$1'))['runs'][0]['results']])"; }
fact "reports that read a job twice read a pipe once" test "$(regions out)" = "$(regions plain.sarif)"
fact "and its page has its pictures" grep -q '<svg' piped.html
fact "what they kept of it is gone" nothing_left
run check --format json /dev/null
fact "/dev/null is an empty job: status 3" complains 3 "/dev/null: the job is empty"
run check --format json /dev/zero "$clean"
fact "a device without end is told after 16 MiB, with status 3" complains 3 "/dev/zero: only 0 whole lines could be read"
fact "and the next file is checked" verdicts "['unreadable', 'clean']"
truncate -s 40G hole.gcode
limited "-v 400000" check --format json hole.gcode
fact "a hole of 40 GB is told in 400 MB of memory" complains 3 "hole.gcode: only 0 whole lines"
rm hole.gcode
mkdir odd
cp "$clean" odd/label.gcode
mkfifo odd/pipe.gcode
python3 -c "import socket; socket.socket(socket.AF_UNIX).bind('odd/socket.gcode')"
ln -s . odd/itself.gcode
ln -s .. odd/up.gcode
run check --format json odd
fact "pipes, sockets, and links to folders in a folder are passed over" verdicts "['clean']"
fact "without a word" good
run check --format json odd/socket.gcode
fact "a socket that is named is told to be one" complains 3 "odd/socket.gcode: is a socket"
ln -s nowhere.gcode odd/dangling.gcode
ln -s round.gcode odd/round.gcode
run check --format json odd
fact "a link that leads nowhere is a file that cannot be read: status 3" grep -q "odd/dangling.gcode: no such file" err
fact "so is one that leads to itself" grep -q "odd/round.gcode: is a link that leads back to itself" err
fact "and the job beside them is checked" verdicts "['unreadable', 'clean', 'unreadable']"
run check --profile <(printf '[machine]\nliner = true\n') "$clean"
fact "a pipe as a profile is told to be none: it is read once for each job" wrong_usage "is a pipe; write the profile to a file"
run check --profile /dev/zero "$clean"
fact "a profile without end is told, too" wrong_usage "/dev/zero: is too large for a profile"
run check --baseline /dev/zero "$clean"
fact "and a baseline" wrong_usage "/dev/zero: is too large for a baseline"

# --- folders nobody can name
deep() { # deep PYTHON: runs it some 6000 bytes down, with the program in `beadwise` and the way there in `way`
  python3 - "$beadwise" "$clean" "$work" <<P
import os, shutil, subprocess, sys
beadwise, clean, way = sys.argv[1:]
os.chdir(way)
for _ in range(26):
    os.makedirs("d" * 230, exist_ok=True)
    os.chdir("d" * 230)
    way += "/" + "d" * 230
if not os.path.exists("label.gcode"):
    shutil.copy(clean, "label.gcode")
def run(*arguments):
    done = subprocess.run([beadwise, "check", "--quiet", *arguments], capture_output=True, check=False)
    return done.returncode, done.stderr.decode()
$1
P
}
status=0 && : >out && : >err
fact "a job deeper than a path may be long is checked from where it lies" deep \
  'sys.exit(run("label.gcode") != (0, "") or run(".") != (0, "") or run("--out", "json=report.json", "label.gcode") != (0, ""))'
fact "by its whole path it is told that this is too long, with status 3" deep '
status, told = run("--format", "json", way + "/label.gcode")
sys.exit(status != 3 or "has too long a path" not in told or told.count("\n") != 1)'
fact "a folder by such a path is told, too" deep '
status, told = run("--format", "json", way)
sys.exit(status != 3 or "has too long a path" not in told or told.count("\n") != 1)'
in_a_folder_that_is_gone() {
  mkdir gone
  (cd gone && rmdir ../gone && exec "$beadwise" "$@") >out 2>err
  status=$?
}
in_a_folder_that_is_gone check --format json "$clean" label.gcode
fact "where the current folder was removed, other files are checked and its own are told" complains 3 "label.gcode: no such file"
fact "each by itself" verdicts "['clean', 'unreadable']"
in_a_folder_that_is_gone check --quiet - <"$clean"
fact "and so is standard input" good

# --- packed without measure
bomb() { # bomb FILE MIB KIB: so many times the same MiB, of lines of so many KiB
  python3 -c "
import gzip, sys
line = b';' + b' ' * (1024 * $3 - 2) + b'\n'
open('$1', 'wb').write(gzip.compress(b'G28\nM84\n') + gzip.compress(line * (1024 // $3), 9) * $2)"
}
bomb bomb.gcode.gz 1100 64
fact "(the bomb is small)" test "$(wc -c <bomb.gcode.gz)" -lt 2000000
limited "-v 400000" check --format json bomb.gcode.gz "$clean"
fact "packed data that grow as those of no print do are not followed: status 3, and how to allow them" complains 3 \
  "bomb.gcode.gz: line"
fact "with the option to allow more" grep -q -- '--max-bytes' err
fact "and the next file is checked" verdicts "['unreadable', 'clean']"
bomb lively.gcode.gz 40 1
run check --format json --gate none lively.gcode.gz
fact "what grows a thousand times but stays small is read" json out "d['files'][0]['job']['bytes'] == 8 + 40 * 1048576"
run check --format json --max-bytes 1000000 lively.gcode.gz "$clean"
fact "--max-bytes stops a packed file: status 3, a sentence that says how to read on" complains 3 \
  "lively.gcode.gz: line 978: only 978 whole lines could be read, then the limit of 1000000 bytes was reached: allow more with --max-bytes"
fact "and lets a smaller one through" verdicts "['unreadable', 'clean']"
bytes=$(wc -c <"$clean")
run check --max-bytes "$bytes" "$clean"
fact "a file of just as many bytes as are allowed is read" good
run check --quiet --max-bytes $((bytes - 1)) "$clean"
fact "one byte more is not" ends_with 3
for command in "measure" "profile show" "profile new --from" "diagnose --symptom stringing"; do
  # shellcheck disable=SC2086
  run $command "$clean" --max-bytes 100
  fact "beadwise $command keeps to --max-bytes" ends_with 3
done
run compare --max-bytes 100 "$clean" "$bad"
fact "beadwise compare keeps to --max-bytes" complains 3 "allow more with --max-bytes"
endless() { yes ';' | $longest "$beadwise" "$@" >out 2>err; status=${PIPESTATUS[1]}; }
endless check --format json --max-bytes 5000000 -
fact "standard input without end is stopped by it" complains 3 "standard input: line"
endless check --format sarif --max-bytes 5000000 -
fact "also where it is kept to be read twice" complains 3 "standard input: line"
fact "and nothing of it is left" nothing_left
for wrong in 0 -1 many 1e9 99999999999999999999; do
  run check "--max-bytes=$wrong" "$clean"
  fact "--max-bytes=$wrong is wrong usage" wrong_usage "--max-bytes wants a number of bytes"
done

# shellcheck source=tests/cli/faults_of_outputs.sh
source "$here/faults_of_outputs.sh"
# shellcheck source=tests/cli/faults_of_names.sh
source "$here/faults_of_names.sh"
# shellcheck source=tests/cli/faults_of_plenty.sh
source "$here/faults_of_plenty.sh"

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
