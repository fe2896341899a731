# shellcheck shell=bash
# How the scripts of this folder tell what holds; read by them, with `beadwise` the program to try.

passed=0
failed=0

# fact NAME COMMAND…: the command must succeed.
fact() {
  local name=$1
  shift
  if "$@"; then
    passed=$((passed + 1))
    echo "holds: $name"
  else
    failed=$((failed + 1))
    echo "FAILS: $name"
    echo "  status $status; standard output, standard error:"
    head -c 600 out | sed 's/^/  | /'
    head -c 600 err | sed 's/^/  ! /'
  fi
}

# run ARGUMENTS…: leaves `status`, and the streams in the files `out` and `err`.
run() {
  "$beadwise" "$@" >out 2>err </dev/null
  status=$?
}

ends_with() { [ "$status" -eq "$1" ]; }
silent() { [ ! -s err ]; }
good() { ends_with 0 && silent; }
# One sentence, on one line, with the program's name, and nothing on standard output.
complains() { ends_with "$1" && [ "$(wc -l <err)" -eq 1 ] && grep -q '^beadwise: ' err && grep -qF -- "$2" err; }
says() { grep -qF -- "$1" out; }
says_not() { ! says "$1"; }
wrong_usage() { complains 2 "$1" && [ ! -s out ]; }
json() { python3 -c "import json,sys; d=json.load(open('$1')); sys.exit(not ($2))"; }
has_escape() { grep -q $'\x1b' "$1"; }
no_escape() { ! has_escape "$1"; }
