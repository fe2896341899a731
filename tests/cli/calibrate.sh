# shellcheck shell=bash
# What `beadwise calibrate` promises at the command line; read by run.sh, whose words it uses.

printf '5,155\n10,167\n15,181\n20,201\n25,225\n' >slip.csv # Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 3
run calibrate --help
fact "help of 'beadwise calibrate' ends well" good
fact "help of 'beadwise calibrate' has an example" grep -q '^  beadwise calibrate ' out
run calibrate slip.csv
fact "calibrate ends well" good
fact "calibrate tells αL with its interval" says "2.125 ± 0.297 mm³/s"
fact "calibrate tells the flow temperature with its interval" says "159.2 ± 8.8 °C"
fact "calibrate says what it assumed" says "assumption"
sed '/^For beadwise.toml/,$d' out >shown
fact "no line of calibrate is wider than 80 columns" test "$(LC_ALL=C.UTF-8 wc -L <shown)" -le 80
run calibrate --set filament.material=abs slip.csv
fact "calibrate takes the material's diffusivity" says "melt zone         20.0 ± 2.8 mm"
sed -n '/^# Melt zone/,$p' out >piece.toml
run profile show --profile piece.toml "$clean"
fact "the piece of a profile that calibrate writes is a profile" good
fact "and says the zone" says "20.05"
mkdir -p bench && cp slip.csv bench/
printf '[filament]\ndiffusivity_mm2_per_s = 0.125\n' >bench/beadwise.toml
run calibrate bench/slip.csv
fact "calibrate reads the profile beside the table" says "melt zone         17.0 ± 2.4 mm"
run calibrate --format json slip.csv
fact "calibrate as JSON" json out "abs(d['alpha_l_mm3_per_s']['value'] - 2.125) < 0.005 and len(d['rows']) == 5"
run calibrate --out json=fit.json slip.csv
fact "calibrate writes JSON to a file too" json fit.json "abs(d['flow_temperature_c']['value'] - 159.2) < 0.2"
"$beadwise" calibrate - <slip.csv >out 2>err
status=$?
fact "calibrate reads standard input" good
LC_ALL=C "$beadwise" calibrate slip.csv >out 2>err
fact "without Unicode in the locale the plot is ASCII" grep -qE '^ +220 \+ .*\.\.' out
LC_ALL=C.UTF-8 "$beadwise" calibrate slip.csv >out 2>err
fact "with it the points are dots" says "●"
run calibrate
fact "calibrate without a table is wrong usage" wrong_usage "slip.csv"
run calibrate slip.csv slip.csv
fact "calibrate takes one table" wrong_usage "one table"
run calibrate --format csv slip.csv
fact "calibrate has no csv" wrong_usage "text, json"
run calibrate lost.csv
fact "a table that is missing ends with 3" complains 3 "lost.csv: no such file"
run calibrate bench
fact "a folder is no table" complains 3 "folder"
head -c 2000000 /dev/zero >large.csv
run calibrate large.csv
fact "a large file is no table" complains 3 "too large"
refused_with() { wrong_usage "$1" && ! grep -q 'αL' err; }
printf '5,155\n10,167\n' >bad.csv
run calibrate bad.csv
fact "two rows get no number" refused_with "bad.csv:2: the table has two rows"
printf '5,225\n10,200\n15,180\n' >bad.csv
run calibrate bad.csv
fact "rows that fall get no number" refused_with "bad.csv:2: contradicts line 1"
printf '5,155\n10,nan\n15,180\n' >bad.csv
run calibrate bad.csv
fact "NaN gets no number" refused_with 'bad.csv:2: the nozzle temperature `nan` is no number'
printf '5,155\n5,156\n5,180\n' >bad.csv
run calibrate bad.csv
fact "one flow gets no number" refused_with "bad.csv:3: every row"
printf '5;155,5\n10;167,0\n15,0;181\n20;201\n25;225\n' >bad.csv
run calibrate bad.csv
fact "semicolons and decimal commas are read" good
run calibrate --set filament.material=wood slip.csv
fact "an unknown material is wrong usage" wrong_usage "there are: pla"
