# For scripts that state facts: counts what holds and what does not. Needs `work`, a folder to write to.
passed=0
failed=0

# fact NAME COMMAND…: the command must succeed; what it says is shown where it does not.
fact() {
  local name=$1
  shift
  if "$@" >"$work/said" 2>&1; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "failed: $name"
    tail -n 40 "$work/said"
  fi
}
