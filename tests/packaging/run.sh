#!/usr/bin/env bash
# Does what is built install, as files and as a package, and work from there?
#   bash tests/packaging/run.sh BUILD_DIR SOURCE_DIR
# A reader that stops early would end its writer by SIGPIPE and, with pipefail, the fact with it: grep reads to the end.
set -uo pipefail
build_dir=$1
source_dir=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
. "$source_dir/tests/support/facts.sh"

plate=$source_dir/examples/plates/row_label.gcode
failing_plate=$source_dir/examples/plates/row_label_cut_off.gcode
root=$work/root
shared=$root/usr/share

can() { command -v "$1" >/dev/null; }

judges_plates() { # PROGRAM: by its exit status and its words
  "$1" check "$plate" | grep '^Nothing found by the ' >/dev/null || return 1
  "$1" check "$failing_plate" >"$work/answer"
  [ $? = 1 ] && grep -q 'truncated-file' "$work/answer"
}

# --- installed files

only_development() { ! find "$work/development" -path '*bin*' -o -path '*man1*' | grep . >/dev/null && [ -f "$work/development/usr/include/beadwise/report.hpp" ]; }

has_a_page_for_every_command() {
  local command
  for command in '' $("$root/usr/bin/beadwise" --help | sed -n '/^Commands:/,/^$/s/^  \([a-z]*\) .*/-\1/p') \
    -profile-show -profile-new -profile-schema; do
    [ -s "$shared/man/man1/beadwise$command.1" ] || { echo "no page: beadwise$command.1"; return 1; }
  done
}

names_every_option() { # a page has the options of --help, and no others
  local command page
  for page in "$shared"/man/man1/beadwise-*.1; do
    command=$(basename "$page" .1)
    command=${command#beadwise-}
    diff <("$root/usr/bin/beadwise" ${command/-/ } --help | grep -oE '^  (-h,)?--[a-z-]+' | tr -d ' ' | sed 's/^-h,//' | sort -u) \
      <(sed 's/\\-/-/g' "$page" | grep -oE '^\\fB--[a-z-]+' | sed 's/^\\fB//' | sort -u) || return 1
  done
}

# groff is what man-db shows pages with, mandoc what others do.
groff_is_content() { ! LC_ALL=C.UTF-8 man --warnings -E UTF-8 -l -Tutf8 -Z "$1" 2>&1 >/dev/null | grep .; }
mandoc_is_content() { mandoc -T lint -W error "$1"; }
every_page() { local page; for page in "$shared"/man/man1/*.1; do "$1" "$page" || return 1; done; }
shows_the_page() { man -l "$shared/man/man1/beadwise-check.1" | grep 'beadwise check --gate warning' >/dev/null; }

writes_the_same_again() {
  "$build_dir/cli/manual/write_manual" "$work/again" &&
    diff -r "$work/again/man1" "$shared/man/man1" &&
    cmp "$work/again/zsh/_beadwise" "$shared/zsh/site-functions/_beadwise"
}

# --- completion

# What bash offers for a line whose cursor stands at its end; the words are parted as readline does.
bash_offers() {
  bash --norc -c '
    . "$1"
    COMP_LINE=$2 COMP_POINT=${#2} COMP_WORDS=() word=
    for ((i = 0; i < ${#COMP_LINE}; ++i)); do
      letter=${COMP_LINE:i:1}
      if [[ $letter == [" =:"] ]]; then
        [[ -n $word ]] && COMP_WORDS+=("$word")
        word=
        [[ $letter != " " ]] && COMP_WORDS+=("$letter")
      else
        word+=$letter
      fi
    done
    [[ -n $word || $COMP_LINE == *" " ]] && COMP_WORDS+=("$word")
    COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
    _beadwise
    printf "%s\n" "${COMPREPLY[@]}" | sort | tr "\n" " "
  ' bash "$shared/bash-completion/completions/beadwise" "$1"
}

offers() { # SHELL LINE EXPECTED
  local said
  said=$("$1" "$2")
  [ "${said% }" = "$3" ] || { echo "for \`$2\`: $said"; return 1; }
}

# What the program itself says that it takes, sorted: "--gate has no `x`; there are: error, warning, note, none."
program_takes() { # COMMAND OPTION
  "$root/usr/bin/beadwise" $1 "$2" nonsense "$plate" ${3:-} 2>&1 | sed -n 's/.*there are: \(.*\)\.$/\1/p' | tr -d ',' | tr ' ' '\n' | sort | tr '\n' ' '
}
offers_what_the_program_takes() { # SHELL
  local command option said takes
  while read -r command option; do
    takes=$(program_takes "$command" "$option")
    said=$("$1" "beadwise $command $option ")
    [ -n "$takes" ] && [ "$takes" = "$said" ] || { echo "$command $option: the program takes $takes, offered is $said"; return 1; }
  done <<'OPTIONS'
check --format
check --gate
check --color
measure --format
measure --per
measure --series
diagnose --format
compare --gate
compare --format
OPTIONS
}

checks_of_the_program() { "$root/usr/bin/beadwise" checks --format json | python3 -c 'import json, sys; print(*sorted(c["check"] for c in json.load(sys.stdin)["checks"]))'; }
offers_every_check() { offers "$1" 'beadwise explain ' "$(checks_of_the_program)"; }

files_after() { # SHELL: in a folder with two files
  mkdir -p "$work/bench" && cd "$work/bench" && touch row-label.gcode 'row label two.gcode' &&
    offers "$1" 'beadwise check row-l' 'row-label.gcode'
}

# fish completes without a terminal; zsh has a program for that only inside one, so its functions are called in one.
fish_offers() {
  XDG_CONFIG_HOME=$work/config HOME=$work fish --no-config -c '
    source $argv[1]; complete -C $argv[2]' "$shared/fish/vendor_completions.d/beadwise.fish" "$1" | cut -f1 | sort | tr '\n' ' '
}

zsh_offers() { # the words that zsh lists in a terminal of its own
  HOME=$work zsh -f "$source_dir/tests/packaging/ask_zsh.zsh" "$shared/zsh/site-functions" "$1" | sort | tr '\n' ' '
}

completes() { # SHELL
  fact "$1: commands" offers "$1" 'beadwise c' 'calibrate check checks compare'
  fact "$1: commands of a command" offers "$1" 'beadwise profile ' 'new schema show'
  fact "$1: options of a command" offers "$1" 'beadwise profile new --' '--from --help --max-bytes --profile --set'
  fact "$1: every check" offers_every_check "$1"
  fact "$1: what the program takes, no more and no less" offers_what_the_program_takes "$1"
  fact "$1: symptoms" offers "$1" 'beadwise diagnose --symptom s' 'sagging scarring stringing'
  fact "$1: files" files_after "$1"
}

completes_in_bash() {
  completes bash_offers
  fact "bash: a check behind a comma" offers bash_offers 'beadwise check --only low-travel,open-t' 'low-travel,open-travel'
  fact "bash: a format, then a file" offers bash_offers 'beadwise check --out ht' 'html='
  cd "$work/bench"
  fact "bash: the file of a format" offers bash_offers 'beadwise check --out html=row-l' 'row-label.gcode'
  fact "bash: a value behind an equals sign" offers bash_offers 'beadwise check --gate=w' 'warning'
  fact "bash: a key of the profile" offers bash_offers 'beadwise check --set machine.li' 'machine.liner='
  fact "bash: nothing where there is nothing to offer" offers bash_offers 'beadwise check --threads ' ''
  cd /
}

# --- packages

package_of() { find "$work/packages" -maxdepth 1 -name "$1_*.deb"; }
makes_packages() { (cd "$work" && cpack --config "$build_dir/CPackConfig.cmake" -B "$work/packages") && [ -f "$(package_of beadwise)" ] && [ -f "$(package_of libbeadwise-dev)" ]; }
unpacks() { dpkg-deb -x "$(package_of beadwise)" "$work/package"; }
depends_on_libraries() { dpkg-deb -f "$(package_of beadwise)" Depends | grep 'libc6.*libfmt' >/dev/null; }
is_described() { dpkg-deb -f "$(package_of beadwise)" Description | sed -n 1p | grep '^checks sliced files' >/dev/null; }
development_package_holds_headers_alone() {
  dpkg-deb -c "$(package_of libbeadwise-dev)" >"$work/list" && grep -q 'include/beadwise/report.hpp' "$work/list" && ! grep -qE '/bin/|man1' "$work/list"
}
lintian_finds_no_error() { lintian --no-cfg --fail-on error --allow-root $(find "$work/packages" -maxdepth 1 -name '*.deb'); }

# --- the program that is copied from machine to machine

builds_static() { cmake --build "$build_dir" --target beadwise_static_program; }
asks_for_the_c_library_alone() {
  local needed
  needed=$(readelf -d "$build_dir/cli/static/beadwise" | sed -n 's/.*(NEEDED).*\[\(.*\)\]/\1/p' | sort | tr '\n' ' ')
  echo "$needed"
  [ -n "$needed" ] && ! tr ' ' '\n' <<<"$needed" | grep -vE '^(lib[cm]\.so.*|ld-linux.*)?$'
}
says_the_same() {
  diff <("$build_dir/cli/static/beadwise" check --format json "$failing_plate") <("$build_dir/cli/beadwise" check --format json "$failing_plate")
}

fact "the program installs" env DESTDIR="$root" cmake --install "$build_dir" --prefix /usr --component program
fact "the library installs without it" env DESTDIR="$work/development" cmake --install "$build_dir" --prefix /usr --component development
fact "no program and no manual with the library" only_development
fact "the installed program judges" judges_plates "$root/usr/bin/beadwise"
fact "documents and plates come along" test -s "$shared/doc/beadwise/install.md" -a -s "$shared/doc/beadwise/examples/plates/row_label.gcode"
fact "every command has its page" has_a_page_for_every_command
fact "the pages name the options of the help" names_every_option
fact "the manual is written the same again" writes_the_same_again
if can man && can groff; then
  fact "groff has nothing against the pages" every_page groff_is_content
  fact "man shows a page" shows_the_page
fi
if can mandoc; then fact "mandoc has nothing against the pages" every_page mandoc_is_content; fi
completes_in_bash
if can fish; then completes fish_offers; fi
if can zsh; then completes zsh_offers; fi
if can dpkg-deb && can dpkg-shlibdeps; then
  fact "packages are made" makes_packages
  fact "the package of the program unpacks" unpacks
  fact "what is in it judges" judges_plates "$work/package/usr/bin/beadwise"
  fact "its manual is packed" gzip -t "$work/package/usr/share/man/man1/beadwise-check.1.gz"
  fact "it depends on the libraries that it was linked with" depends_on_libraries
  fact "it is described" is_described
  fact "the other package holds the library alone" development_package_holds_headers_alone
  if can lintian; then fact "lintian finds no error" lintian_finds_no_error; fi
fi
if cmake --build "$build_dir" --target help 2>/dev/null | grep beadwise_static_program >/dev/null; then
  fact "the static program is linked" builds_static
  fact "it asks for the C library alone" asks_for_the_c_library_alone
  fact "it judges" judges_plates "$build_dir/cli/static/beadwise"
  fact "it says the same" says_the_same
fi

echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
