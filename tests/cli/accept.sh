# shellcheck shell=bash
# What acceptances and baselines promise at the command line; read by run.sh, whose words it uses.

mkdir -p known
cp "$plates/grafting_jig_dragged_pins.gcode" known/jig.gcode
first() { python3 -c "import json; print(json.load(open('out'))['files'][0]['findings'][0]['$1'])"; }
run check --format json known/jig.gcode
fingerprint=$(first fingerprint)
findings=$(python3 -c "import json; print(len(json.load(open('out'))['files'][0]['findings']))")
fact "the jig has several findings, none accepted" json out \
  "len(d['files'][0]['findings']) > 1 and all(f['accepted'] is None and f['key'] for f in d['files'][0]['findings'])"

# --- in a profile
accepting() { printf '[[accept]]\ncheck = "%s"\nwhere = "%s"\nbecause = "the pins are sawn off"\n' "$1" "$2" >known/beadwise.toml; }
run check --gate warning known/jig.gcode
fact "without an acceptance its warning stops it" ends_with 1
for where in "$fingerprint" "slender features" "Jig, slender features"; do
  accepting low-travel "$where"
  run check --gate warning known/jig.gcode
  fact "accepted as '$where' it passes" good
  fact "and the verdict counts it" grep -q '; 1 accepted\.$' out
  fact "and it is marked, with the reason" says "Known  the pins are sawn off (beadwise.toml:1)"
  fact "after the others" grep -qE "^$findings\. accepted WARNING low-travel" out
  fact "and nothing is told as unused" says_not "not found"
done
run check --quiet known/jig.gcode
fact "--quiet leaves it out" says_not low-travel
run check --format json known/jig.gcode
fact "JSON names the reason and the place" json out \
  "d['files'][0]['findings'][-1]['accepted'] == {'because': 'the pins are sawn off', 'from': 'beadwise.toml:1'}"
fact "and the verdict is that of the rest" json out "d['files'][0]['verdict'] == 'note'"
run check --format html known/jig.gcode
fact "the page says accepted, and why" says "<b>Accepted</b>: the pins are sawn off"
for where in "another jig" "features slender" "${fingerprint%?}" "known"; do
  accepting low-travel "$where"
  run check --gate warning known/jig.gcode
  fact "'$where' accepts nothing" ends_with 1
  fact "and says so" says "not found"
done
run check --gate none --format json known/jig.gcode
fact "JSON tells the unused one" json out \
  "d['files'][0]['unused_acceptances'] == [{'check': 'low-travel', 'where': 'known', 'from': 'beadwise.toml:1'}]"
run check --gate note --only broken-arc known/jig.gcode
fact "an unused one does not change the status" good
fact "of a check that did not run it is not told" says_not "not found"
rm known/beadwise.toml

# --- a baseline
run check --gate warning --write-baseline known.json known/jig.gcode
fact "the run that writes a baseline ends as any other" ends_with 1
fact "the baseline names its version and all findings" json known.json \
  "d['baseline_version'] == 1 and len(d['files'][0]['findings']) == $findings"
cp known.json again.json
run check --gate none --write-baseline again.json --threads 1 known/jig.gcode
fact "it is the same bytes when written again" cmp -s known.json again.json
run check --gate note --baseline known.json known/jig.gcode
fact "with it nothing stops" good
fact "all are accepted" says "; $findings accepted."
cp known/jig.gcode known/jig-anew.gcode
run check --gate note --baseline known.json known/jig-anew.gcode
fact "under another name, alone, too" good
{
  cat known/jig.gcode
  echo 'G1 X1..2'
} >known/jig-worse.gcode
run check --gate note --baseline known.json known/jig-worse.gcode
fact "what is new counts" ends_with 1
fact "and stands first" grep -q '^1\. [A-Z]* unread-line' out
python3 - <<'P'
import json
d = json.load(open("known.json"))
for f in d["files"][0]["findings"]:
    f["severity"] = "note"
json.dump(d, open("milder.json", "w"))
d["files"][0]["findings"].append({"check": "low-travel", "fingerprint": "0" * 16, "severity": "note", "what": ""})
d["files"][0]["findings"].append({"check": "broken-arc", "fingerprint": "0" * 16, "severity": "note", "what": ""})
json.dump(d, open("gone.json", "w"))
P
run check --gate warning --baseline milder.json known/jig.gcode
fact "what became worse than noted counts" ends_with 1
run check --gate none --baseline gone.json known/jig.gcode
fact "what is gone is counted in a line" says "2 findings noted in gone.json are gone: write it anew."
run check --gate note --baseline gone.json --write-baseline gone.json known/jig.gcode
fact "one file can be read and written" ends_with 1
fact "and then it is as new" cmp -s known.json gone.json
run check --baseline lost.json known/jig.gcode
fact "a baseline that is missing is wrong usage" wrong_usage "lost.json: no such file"
run check --baseline known/jig.gcode known/jig.gcode
fact "a print is no baseline" wrong_usage "jig.gcode:1:1: is no JSON"
head -c 100 known.json >cut.json
run check --baseline cut.json known/jig.gcode
fact "a damaged baseline is told with its place" wrong_usage "cut.json:"
sed 's/"baseline_version": 1/"baseline_version": 2/' known.json >newer.json
run check --baseline newer.json known/jig.gcode
fact "a newer baseline is refused" wrong_usage "this program reads 1"
run check --gate none --format json known/jig.gcode
cp out report.json
run check --baseline report.json known/jig.gcode
fact "a report is no baseline" wrong_usage "is a report of check"
run check --write-baseline none.json known/jig.gcode lost.gcode
fact "where a file could not be read no baseline is written" test ! -e none.json
fact "and that is said" grep -q 'none.json: not written' err
