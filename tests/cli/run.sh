#!/usr/bin/env bash
# What a person or a script at the command line may rely on: exit status, the two output streams, files, options.
#   bash tests/cli/run.sh BEADWISE SOURCE_DIR
set -uo pipefail
here=$(dirname "$(realpath "$0")")
beadwise=$(realpath "$1")
plates=$(realpath "$2")/examples/plates
schema=$(realpath "$2")/docs/report.schema.json
work=$(mktemp -d)
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
cd "$work" || exit 1
unset NO_COLOR
# shellcheck source=tests/cli/facts.sh
source "$here/facts.sh"

clean=$plates/row_label.gcode
bad=$plates/crate_tag_heater_left_on.gcode
warned=$plates/crate_tag_not_homed.gcode

# --- help, version, wrong usage
run --version
fact "--version names the program and its version" good
fact "--version is one line" grep -qx 'beadwise [0-9]*\.[0-9]*\.[0-9]*' out
run --help
fact "--help lists the commands" says profile
for command in "" check measure explain checks profile "profile show" "profile new" "profile schema"; do
  # shellcheck disable=SC2086
  run $command --help
  fact "help of 'beadwise $command' ends well" good
  fact "help of 'beadwise $command' has an example" grep -q '^  beadwise ' out
done
run
fact "no command at all is wrong usage" wrong_usage "check"
run chek x
fact "a misspelt command gets the nearest one" wrong_usage 'did you mean `check`?'
run check --fomat json "$clean"
fact "a misspelt option gets the nearest one" wrong_usage 'did you mean `--format`?'
run check
fact "check without a file is wrong usage" wrong_usage "needs a file"
run check --format xml "$clean"
fact "an unknown format is wrong usage" wrong_usage "text, json"
run check --format csv "$clean"
fact "check has no csv" wrong_usage "csv"
run check --gate high "$clean"
fact "an unknown gate is wrong usage" wrong_usage "warning"
run check --color pink "$clean"
fact "an unknown colour is wrong usage" wrong_usage "always"
for n in 0 -1 x 2x 99999999999; do
  run check --threads "$n" "$clean"
  fact "--threads $n is wrong usage" ends_with 2
done
run check - -
fact "standard input can be named once only" wrong_usage "once"
run profile
fact "profile alone is wrong usage" wrong_usage "show"
run profile new
fact "profile new wants --from" wrong_usage "--from"

# --- verdict and gate
run check "$clean"
fact "a clean file ends with 0 and an empty standard error" good
fact "a clean file takes less than a screen" test "$(wc -l <out)" -lt 24
fact "no line is wider than 80 columns" test "$(wc -L <out)" -le 80
run check "$bad"
fact "an error ends with 1" ends_with 1
fact "an error leaves standard error empty" silent
fact "the verdict stands first" test "$(sed -n 2p out | cut -c1-12)" = "Do not print"
for label in What Why Do Limit; do
  [ "$label" = Limit ] && continue
  fact "a finding says '$label'" grep -q "^   $label " out
done
run check --gate none "$bad"
fact "--gate none lets an error through" good
run check "$warned"
fact "a warning passes the default gate" good
run check --gate warning "$warned"
fact "--gate warning stops a warning" ends_with 1
run check --gate error "$warned"
fact "--gate error lets a warning through" good
run check --gate note "$clean"
fact "--gate note lets a clean file through" good

# --- JSON
run check --format json "$clean" "$bad"
fact "JSON of two files, one with an error, ends with 1" ends_with 1
fact "JSON goes to standard output alone" silent
fact "JSON holds both files in order" json out "[f['verdict'] for f in d['files']] == ['clean','error']"
fact "JSON has no NaN and no Infinity" test "$(grep -cE 'NaN|Infinity' out)" -eq 0
if python3 -c 'import jsonschema; jsonschema.Draft202012Validator' 2>"$work/ignored"; then
  cp out report.json
  validate() {
    python3 - "$1" "$schema" <<'P'
import json, sys, jsonschema
schema = json.load(open(sys.argv[2]))
jsonschema.Draft202012Validator.check_schema(schema)
jsonschema.Draft202012Validator(schema).validate(json.load(open(sys.argv[1])))
P
  }
  fact "the JSON report obeys docs/report.schema.json" validate report.json
  python3 -c "import json; d=json.load(open('report.json')); del d['files'][0]['verdict']; json.dump(d, open('less.json','w'))"
  refused() { ! validate less.json 2>/dev/null; }
  fact "a report without a verdict does not" refused
else
  echo "(no python3-jsonschema: the schema is not held against a report)"
fi
cp out one
run check --format json --threads 1 "$clean" "$bad"
cp out single
run check --format json --threads 4 "$clean" "$bad"
fact "one thread and four give the same bytes" cmp -s single out
fact "so does no --threads at all" cmp -s single one

# --- only, skip
run check --only heater-left-on --format json "$bad"
fact "--only runs the named check alone" json out "[c['check'] for c in d['files'][0]['checks']] == ['heater-left-on']"
run check --only heater-left-on,broken-arc --format json "$bad"
fact "--only takes a list" json out "len(d['files'][0]['checks']) == 2"
run check --skip heater-left-on "$bad"
fact "--skip leaves a check out" good
run check --skip heater-left-on --skip broken-arc --format json "$bad"
fact "--skip may be repeated" json out "not {c['check'] for c in d['files'][0]['checks']} & {'heater-left-on','broken-arc'}"
run check --only heater-left "$bad"
fact "an unknown check gets the nearest name" wrong_usage 'did you mean `heater-left-on`?'
run check --skip nonsense-here "$bad"
fact "--skip wants a known check, too" ends_with 2
run check --only broken-arc --skip broken-arc "$bad"
fact "leaving no check to run is wrong usage" wrong_usage "no check"

# --- out
run check --out json=report.json --out text=report.txt "$clean"
fact "--out leaves standard output as it was" says "Nothing found"
fact "--out json writes JSON" json report.json "d['files'][0]['verdict'] == 'clean'"
fact "--out text writes text" grep -q "Nothing found" report.txt
run check --out json=report.json "$bad"
fact "--out replaces an older report" json report.json "d['files'][0]['verdict'] == 'error'"
fact "--out leaves no part behind" test -z "$(ls -- *.part 2>/dev/null)"
run check --out json=nowhere/report.json "$clean"
fact "--out into a folder that is not there is one sentence and status 2" complains 2 nowhere/report.json
run check --out json=. "$clean"
fact "--out onto a folder is one sentence and status 2" ends_with 2
run check --out report.json "$clean"
fact "--out without a format is wrong usage" wrong_usage "FORMAT=FILE"
run check --out sarfi=x "$clean"
fact "--out with an unknown format is wrong usage" wrong_usage "sarfi"
run check --out json=/dev/null "$clean"
fact "--out onto a device does not replace it" test -c /dev/null
ln -sf report.json link.json
run check --out json=link.json "$clean"
fact "--out through a link keeps the link" test -L link.json
fact "and writes what it points to" json report.json "d['files'][0]['verdict'] == 'clean'"
if [ -c /dev/full ]; then
  run check --out json=/dev/full "$clean"
  fact "--out on a full disk is one sentence and status 2" complains 2 /dev/full
  "$beadwise" check "$clean" >/dev/full 2>err
  status=$?
  : >out
  fact "a full standard output is one sentence and status 2" complains 2 "standard output"
fi

# --- colour
run check "$bad"
fact "no colour in a pipe" no_escape out
run check --color always "$bad"
fact "--color always colours a pipe" has_escape out
NO_COLOR=1 run check --color always "$bad"
fact "--color always wins over NO_COLOR" has_escape out
run check --color always --out text=plain.txt "$bad"
fact "a file is never coloured" no_escape plain.txt
if command -v script >"$work/ignored"; then
  on_terminal() { TERM=xterm script -qec "$*" /dev/null >out 2>err </dev/null; }
  on_terminal "$beadwise check '$bad'"
  fact "colour on a terminal" has_escape out
  NO_COLOR=1 on_terminal "$beadwise check '$bad'"
  fact "NO_COLOR is respected" no_escape out
  NO_COLOR='' on_terminal "$beadwise check '$bad'"
  fact "an empty NO_COLOR is as none" has_escape out
  on_terminal "$beadwise check --color never '$bad'"
  fact "--color never wins over a terminal" no_escape out
fi

# --- quiet
run check --quiet "$clean"
fact "--quiet leaves two lines of a clean file" test "$(wc -l <out)" -eq 2
run check --quiet "$bad"
fact "--quiet keeps errors" says heater-left-on
fact "--quiet leaves out what was checked" says_not "Checked"

# --- standard input, names, line ends
"$beadwise" check --format json - <"$clean" >out 2>err
status=$?
fact "- reads standard input" good
cp out from_stdin
run check --format json "$clean"
same_but_name() { [ "$(python3 -c "import json; d=json.load(open('$1')); f=d['files'][0]; print(f['sha256'], f['job'], f['findings'])")" = "$(python3 -c "import json; d=json.load(open('$2')); f=d['files'][0]; print(f['sha256'], f['job'], f['findings'])")" ]; }
fact "standard input and the file have the same figures" same_but_name from_stdin out
run check -
fact "empty standard input ends with 3" ends_with 3
cp "$clean" ./-dash.gcode
run check -- -dash.gcode
fact "-- ends the options" good
cp "$clean" $'odd \x1b[31m\xff "name".gcode'
run check $'odd \x1b[31m\xff "name".gcode'
fact "a name cannot colour the terminal" no_escape out
run check --format json $'odd \x1b[31m\xff "name".gcode'
fact "a name that is no UTF-8 does not break the JSON" json out "'\ufffd' in d['files'][0]['file']"
sed 's/$/\r/' "$bad" >crlf.gcode
run check --format json crlf.gcode
cp out crlf.json
run check --format json "$bad"
same_findings() { [ "$(python3 -c "import json; print(json.load(open('$1'))['files'][0]['findings'])")" = "$(python3 -c "import json; print(json.load(open('$2'))['files'][0]['findings'])")" ]; }
fact "CRLF gives the same findings" same_findings crlf.json out
tr '\n' '\r' <"$bad" >cr.gcode
run check --format json cr.gcode
cp out cr.json
run check --format json "$bad"
fact "CR alone gives the same findings" same_findings cr.json out
gzip -c "$bad" >zipped.gcode.gz
run check --format json zipped.gcode.gz
cp out zipped.json
run check --format json "$bad"
fact "gzip gives the same findings" same_findings zipped.json out

# --- strangers
run check lost.gcode
fact "a missing file ends with 3" ends_with 3
fact "a missing file is named in the report" says lost.gcode
run check --format json lost.gcode
fact "a missing file is complained of where the report is JSON" complains 3 lost.gcode
fact "and its report has a verdict, a failure and no job" json out \
  "d['files'][0]['verdict'] == 'unreadable' and d['files'][0]['failure'] and d['files'][0]['job'] is None"
: >empty.gcode
run check empty.gcode
fact "an empty file ends with 3" ends_with 3
cp "$clean" locked.gcode
chmod 000 locked.gcode
if [ ! -r locked.gcode ]; then
  run check locked.gcode
  fact "a file that may not be read ends with 3" ends_with 3
fi
gzip -c "$clean" | head -c 300 >damaged.gcode.gz
run check damaged.gcode.gz
fact "a damaged gzip ends with 3" ends_with 3
head -c 20000 "$beadwise" >program.gcode
run check program.gcode
fact "a binary file is no print: 1" ends_with 1
fact "a binary file leaves standard error empty" silent
fact "a binary file does not reach the terminal" no_escape out
fact "a binary file is told to be no print" says not-a-print
printf 'G1 X1 E1' >cut.gcode
run check --format json cut.gcode
fact "a file of one line is read" json out "d['files'][0]['job']['lines'] == 1"
mkdir bare
run check bare
fact "a folder without sliced files is one sentence and status 2" complains 2 bare
mkdir folder
cp "$clean" folder/b.GCODE
cp "$warned" folder/a.gco
cp "$clean" folder/notes.txt
run check --format json folder
fact "a folder stands for its sliced files, in order of name" json out \
  "[f['file'].rsplit('/')[-1] for f in d['files']] == ['a.gco','b.GCODE']"

# --- several files
run check "$clean" lost.gcode "$bad"
fact "the highest status wins" ends_with 3
fact "every other file is still checked" says heater-left-on
fact "the summary counts the errors" grep -q '^  error  *1  ' out
fact "the summary counts the unreadable" grep -q '^  unreadable  *1  ' out
run check bare "$bad"
fact "2 is higher than 1" ends_with 2
fact "and the other file is still checked" says heater-left-on

# --- profile
run check --profile lost.toml "$clean"
fact "a missing profile is one sentence and status 2" complains 2 lost.toml
printf '[machine]\nnozle_diameter_mm = 0.4\n' >wrong.toml
run check --profile wrong.toml "$clean"
fact "an unknown key is told with file, line, column" complains 2 "wrong.toml:2:1"
fact "and with the nearest key" grep -q nozzle_diameter_mm err
run check --set machine.nozle_diameter_mm=0.4 "$clean"
fact "an unknown key of --set is status 2" complains 2 nozzle_diameter_mm
run check --set machine.nozzle_diameter_mm=0.4 --format json "$clean"
fact "--set is said to be from the command line" json out \
  "any(a['key'] == 'machine.nozzle_diameter_mm' and a['from'] == 'command-line' for a in d['files'][0]['assumptions'])"
run check --set 'machine.build_x_mm=[0, 10]' --only outside-build-volume "$clean"
fact "--set takes a list and does not swallow the file" ends_with 1
run profile show "$clean"
fact "profile show ends well" good
fact "profile show names keys and origins" grep -q 'machine.melt_zone_mm.*(built-in)' out
run profile show --format json "$clean"
fact "profile show as JSON holds every value" json out \
  "any(v['key'] == 'machine.melt_zone_mm' and v['value'] == 20 for v in d['values'])"
run profile show lost.gcode
fact "profile show of a missing file is status 3" complains 3 lost.gcode
run profile new --from "$clean"
fact "profile new ends well" good
cp out made.toml
run check --profile made.toml "$clean"
fact "what profile new wrote is a profile" good
run profile schema
fact "profile schema is JSON" json out "d['type'] == 'object'"

# --- measure
run measure "$clean"
fact "measure ends well" good
fact "measure tells what was fed" says "filament fed"
run measure "$bad"
fact "measure judges nothing" good
run measure --format json "$clean"
fact "measure as JSON has the job" json out "d['files'][0]['job']['layers'] > 1 and 'layers' not in d['files'][0]"
layers=$(python3 -c "import json; print(json.load(open('out'))['files'][0]['job']['layers'])")
run measure --per layer --format csv "$clean"
fact "one row of CSV per layer, and a head" test "$(wc -l <out)" -eq $((layers + 1))
run measure --per layer --format json "$clean"
fact "one layer of JSON per layer" json out "len(d['files'][0]['layers']) == d['files'][0]['job']['layers']"
run measure --per object --format json "$clean"
fact "objects are told" json out "len(d['files'][0]['objects']) >= 1"
run measure --per object "$clean"
fact "objects as text" says object
run measure --format csv "$clean" "$bad"
fact "one row of CSV per file, and a head" test "$(wc -l <out)" -eq 3
run measure --per day "$clean"
fact "an unknown part is wrong usage" wrong_usage "layer"
run measure lost.gcode
fact "measure of a missing file ends with 3" ends_with 3

# --- checks, explain
run checks
fact "checks ends well" good
fact "checks names them" says dense-retraction
run checks --format json
fact "checks as JSON has severities, symptoms, summary" json out \
  "all(c['severities'] and c['summary'] and 'symptoms' in c for c in d['checks'])"
python3 -c "import json; print('\n'.join(c['check'] for c in json.load(open('out'))['checks']))" >names
while read -r name; do
  run explain "$name"
  explained() { good && [ "$(wc -l <out)" -gt 10 ]; }
  fact "explain $name" explained
done <names
run explain dense-retractions
fact "explain of a misspelt check gets the nearest name" wrong_usage 'did you mean `dense-retraction`?'
run explain
fact "explain without a name is wrong usage" wrong_usage "beadwise checks"

# --- calibrate
# shellcheck source=tests/cli/calibrate.sh
source "$here/calibrate.sh"

# --- accept, compare
# shellcheck source=tests/cli/accept.sh
source "$here/accept.sh"
# shellcheck source=tests/cli/compare.sh
source "$here/compare.sh"

# --- diagnose
# shellcheck source=tests/cli/diagnose.sh
source "$here/diagnose.sh"

# --- pipes
"$beadwise" checks 2>err | head -n 1 >out
status=${PIPESTATUS[0]}
fact "a reader that goes away early is no error" good
"$beadwise" check "$bad" 2>err | true
status=${PIPESTATUS[0]}
fact "and keeps the exit status" ends_with 1
fact "and says nothing" silent

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
