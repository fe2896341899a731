# shellcheck shell=bash
# Faults where something is written: disks, pipes, signals, permissions; read by faults.sh, whose words it uses.

# --- a full disk
full_disk() { # in a name space of its own: a disk of 64 KiB in `disk`, an older report on it, and no room
  mkdir -p disk
  unshare "$@" sh -c '
    mount -t tmpfs -o size=64k none disk || exit 77
    "$0" check --gate none --out json=disk/report.json "$1" >/dev/null || exit 78
    cp disk/report.json older.json
    cat /dev/zero >disk/ballast 2>/dev/null
    "$0" check --gate none --out json=disk/report.json --out html=disk/report.html "$2" >out 2>err
    echo $? >full.status
    ls -A disk >full.names
    cmp disk/report.json older.json >full.same 2>&1
    "$0" check --gate none --write-baseline disk/known.json "$2" >baseline.out 2>baseline.err
    echo $? >baseline.status
    cat "$2" | TMPDIR=disk "$0" check --gate none --format sarif - >kept.out 2>kept.err
    echo $? >kept.status
    cat "$2" | TMPDIR=disk "$0" compare "$1" - >compared.out 2>compared.err
    echo $? >compared.status
    ls -A disk >kept.names' "$beadwise" "$clean" "$bad" 2>ignored </dev/null
}
took_from() { # took_from RUN: that run's status and streams as those of the last one
  status=$(cat "$1.status")
  [ "$1" = full ] || cp "$1.err" err
  [ "$1" = full ] || cp "$1.out" out
}
if full_disk -m || full_disk -rm || [ -f full.status ]; then
  took_from full
  fact "a full disk under --out is one sentence and status 2" complains 2 "disk/report.json: cannot be written: No space left"
  fact "the older report of that name is untouched" test ! -s full.same
  fact "and no half of one is left" test "$(tr '\n' ' ' <full.names)" = "ballast report.json "
  took_from baseline
  fact "a full disk under --write-baseline is one sentence and status 2" complains 2 "disk/known.json: cannot be written"
  took_from kept
  fact "no room to keep standard input is told of where room is wanted, with status 3" complains 3 "make room in TMPDIR"
  took_from compared
  fact "so it is by compare" complains 3 "make room in TMPDIR"
  fact "and nothing of it is left" test "$(tr '\n' ' ' <kept.names)" = "ballast report.json "
else
  echo "(no file system can be mounted here: a full disk is not tried)"
fi
"$beadwise" check --out json=report.json "$clean" >out 2>err
cp report.json older.json
limited "-f 4" check --out json=report.json "$bad"
fact "a file that may not grow any more is one sentence and status 2" complains 2 "report.json: cannot be written: File too large"
fact "and the older report stays" cmp -s report.json older.json
for _ in 1 2 3; do cat "$bad"; done >longer.gcode
(ulimit -f 4 && "$beadwise" check --format sarif - < <(cat longer.gcode)) >out 2>err
status=$?
fact "so it is where standard input is kept" one_sentence "make room in TMPDIR"
fact "with status 3" ends_with 3
fact "and nothing is left of either" nothing_left

# --- readers that go away, streams that are closed
"$beadwise" measure --series speed "$clean" 2>err | head -n 1 >out
status=${PIPESTATUS[0]}
fact "a reader that goes away early is no error" good
"$beadwise" check --format json "$bad" 2>err >&-
status=$?
: >out
fact "a closed standard output is one sentence and status 2" complains 2 "standard output: cannot be written"
"$beadwise" check --out json=closed.json "$bad" >&- 2>&- <&-
status=$?
fact "with all three streams closed a report goes to its file alone" json closed.json "d['files'][0]['verdict'] == 'error'"
fact "and the status tells" ends_with 2
"$beadwise" check --format json "$bad" >out 2>&- </dev/null
status=$?
: >err
fact "a closed standard error hinders nothing" verdicts "['error']"
fact "nor the status" ends_with 1
"$beadwise" check --format json - >out 2>err <&-
status=$?
fact "closed standard input is an empty job: status 3" complains 3 "standard input: "
"$beadwise" check --format sarif - >out 2>err <.
status=$?
fact "a folder as standard input is status 3" complains 3 "standard input: reading failed"

# --- signals
cat >signals.py <<'P'
"""Ends the program with a signal while it waits for more of its job, and at all sorts of moments."""
import json, os, signal, subprocess, sys, time
beadwise, job = sys.argv[1:]
def start(*arguments, stdin):
    # The shell has background commands ignore SIGINT, and that is handed down.
    return subprocess.Popen([beadwise, "check", "--gate", "none", *arguments], stdin=stdin, stdout=subprocess.DEVNULL,
                            stderr=subprocess.PIPE, preexec_fn=lambda: [signal.signal(s, signal.SIG_DFL) for s in signals])
signals = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
wrong = []
for one in signals:
    run = start("--out", "json=stopped.json", "--out", "html=stopped.html", "-", stdin=subprocess.PIPE)
    run.stdin.write(open(job, "rb").read())
    run.stdin.flush()
    while not any(os.readlink(f"/proc/{run.pid}/fd/{n}").startswith(os.environ["TMPDIR"])
                  for n in os.listdir(f"/proc/{run.pid}/fd")):
        time.sleep(0.01)
    run.send_signal(one)
    run.wait(60)
    if run.returncode != -one or run.stderr.read(): wrong.append(f"{one.name}: ended with {run.returncode}")
    run.stdin.close()
    if os.path.exists("stopped.json") or os.path.exists("stopped.html"): wrong.append(f"{one.name}: left a report")
whole = 0.3
for i in range(24):
    for name in ("stopped.json", "stopped.html"):
        if os.path.exists(name): os.remove(name)
    begun = time.monotonic()
    run = start("--out", "json=stopped.json", "--out", "html=stopped.html", job, stdin=subprocess.DEVNULL)
    if i > 0: time.sleep(whole * i / 22)
    if i > 0: run.send_signal(signal.SIGTERM)
    run.wait(60)
    if i == 0: whole = time.monotonic() - begun
    if run.returncode not in (0, -signal.SIGTERM): wrong.append(f"ended with {run.returncode}")
    if os.path.exists("stopped.json"): json.load(open("stopped.json"))
    if os.path.exists("stopped.html") and not open("stopped.html").read().endswith("</html>\n"): wrong.append("half a page")
print(*wrong, sep="\n")
sys.exit(bool(wrong))
P
python3 signals.py "$beadwise" "$bad" >out 2>err
status=$?
fact "SIGINT, SIGTERM and SIGHUP end it as signals do, and leave whole reports or none" good
fact "nothing temporary is left, of standard input neither" nothing_left

# --- permissions, links, names
run check --out json=fresh.json "$clean"
: >as_usual
fact "a new report has the permissions of any new file" test "$(stat -c %a fresh.json)" = "$(stat -c %a as_usual)"
chmod 640 fresh.json
run check --out json=fresh.json "$clean"
fact "one that replaces an older one has that one's" test "$(stat -c %a fresh.json)" = 640
if can_be_stranger; then
  mkdir -m 777 theirs
  run_as_stranger check --out json=theirs/report.json "$clean"
  owner=$(stat -c %u theirs/report.json)
  run check --out json=theirs/report.json "$clean"
  fact "and keeps its owner" test "$(stat -c %u theirs/report.json)" = "$owner"
  as_stranger chmod 444 theirs/report.json
  cp theirs/report.json older.json
  run_as_stranger check --out json=theirs/report.json "$bad"
  fact "one that may not be written is not replaced: status 2" complains 2 "theirs/report.json: cannot be written: Permission"
  fact "not a byte" cmp -s theirs/report.json older.json
  chmod 555 theirs
  run_as_stranger check --out json=theirs/new.json "$clean"
  fact "a folder that may not be written is told by the report's name: status 2" complains 2 "theirs/new.json: cannot be written"
fi
ln -s later.json link.json
run check --out json=link.json "$clean"
fact "a link to a report that is not there yet stays a link" test -L link.json
fact "and leads to it" json later.json "d['files'][0]['verdict'] == 'clean'"
"$beadwise" check --quiet --out json=/dev/stdout "$clean" 2>err </dev/null | cat >out
status=${PIPESTATUS[0]}
fact "--out to a pipe by a name is written as it is" grep -q '"beadwise"' out
fact "and ends well" good
long=$(printf '%0250d' 0)
run check --out "json=$long" "$clean"
fact "a name as long as a name may be is written" json "$long" "d['files'][0]['verdict'] == 'clean'"
cp "$bad" mine.gcode
for option in "--out text=mine.gcode" "--out html=./mine.gcode" "--write-baseline mine.gcode"; do
  # shellcheck disable=SC2086
  run check $option mine.gcode
  fact "$option does not replace the job itself: wrong usage" wrong_usage "mine.gcode: is a job to be read"
done
fact "the job is as it was" cmp -s mine.gcode "$bad"
