# shellcheck shell=bash
# What `beadwise diagnose` promises at the command line; read by run.sh, whose words it uses.

strings=$plates/irrigation_clips_not_pulled_back.gcode
run diagnose --help
fact "help of 'beadwise diagnose' ends well" good
run diagnose --symptom help
fact "the symptoms are listed" good
fact "with what a person sees" says "fine hairs"
fact "no line of the list is wider than 80 columns" test "$(LC_ALL=C.UTF-8 wc -L <out)" -le 80
run diagnose --symptom help --format json
fact "the list as JSON has all fourteen" json out "len(d['symptoms']) == 14"
run diagnose "$strings" --symptom stringing
fact "diagnose ends with 0, also where it found a cause" good
fact "the cause is named by its check" says "1. WARNING open-travel"
fact "what is ruled out names its check" says "(long-retraction)"
fact "what to look at by hand is told" says "Moist filament"
fact "and what to mind" says "maker's manual"
fact "no line is wider than 80 columns" test "$(LC_ALL=C.UTF-8 wc -L <out)" -le 80
cp out by_name
run diagnose "$strings" --symptom "there are hairs between the clips"
fact "ordinary words give the same answer" cmp -s by_name out
run diagnose "$clean" --symptom stringing
fact "nothing found ends with 0" good
fact "and is said plainly" says "Nothing in this file explains stringing"
run diagnose "$strings" --symptom "it looks rough"
fact "what may mean two things is asked about" complains 2 "rough-top"
fact "with both of them" complains 2 "rough-first-layer"
run diagnose "$strings" --symptom "the screen is blank"
fact "unknown words are told what there is" complains 2 "tube-pushed-out"
run diagnose "$strings" --symptom stringng
fact "a misspelt symptom gets the nearest one" complains 2 'did you mean `stringing`?'
run diagnose "$strings"
fact "diagnose wants a symptom" wrong_usage "symptom"
run diagnose --symptom stringing
fact "diagnose wants a file" wrong_usage "needs a file"
run diagnose "$strings" "$clean" --symptom stringing
fact "and one alone" wrong_usage "one file"
run diagnose "$strings" --symptom stringing --layer 900
fact "a layer that was never printed is refused" wrong_usage "20 layers"
run diagnose "$strings" --symptom stringing --at 900,10
fact "so is a place where nothing lies" wrong_usage "X 900"
run diagnose "$strings" --symptom stringing --symptom "corners lift" --layer 3-5 --format json
fact "diagnose as JSON" json out "d['diagnosis_version'] == 1 and d['causes'][0]['check'] == 'open-travel'"
fact "knows what was seen and where" json out \
  "d['seen']['symptoms'] == ['stringing', 'warping'] and d['seen']['layers'] == [3, 5]"
cp out one
run diagnose "$strings" --symptom stringing --symptom "corners lift" --layer 3-5 --format json --threads 1
fact "one thread gives the same bytes" cmp -s one out
run diagnose "$strings" --symptom stringing --out markdown=reply.md --out json=answer.json
fact "--out writes a reply in Markdown" grep -q '^\*\*1\. ' reply.md
fact "and JSON" json answer.json "d['causes'][0]['share'] == 1"
run diagnose "$strings" --symptom stringing --format html
fact "diagnose has no html" wrong_usage "markdown"
run diagnose "$strings" --symptom stringing --set filament.material=petg --format json
fact "what is stated is no guess" json out "all(g['key'] != 'filament.material' for g in d['guesses'])"
run diagnose "$strings" --symptom stringing --set checks.long-retraction.least_mm=0.5 --set filament.nozzle_c=[210,245]
fact "a limit that is stated is read" good
"$beadwise" diagnose - --symptom stringing <"$strings" >out 2>err
status=$?
fact "diagnose reads standard input" good
fact "and finds the same" says "open-travel"
run diagnose lost.gcode --symptom stringing
fact "a missing file ends with 3" ends_with 3
fact "and rules nothing out" says_not "Ruled out"
run diagnose --symptom stringing "$plates"
fact "a folder with several files is refused" wrong_usage "one file"
