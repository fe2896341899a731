# Reads the log of `ctest --verbose` and counts: the test cases of every doctest program, the facts of every script that
# ends with "N passed, N failed", and every other test as one. Shows what failed. Exit status 1 where anything did.

# "12: text": output of test 12. A later summary of the same test replaces an earlier one.
match($0, /^[0-9]+: /) {
  test = substr($0, 1, RLENGTH - 2)
  text = substr($0, RLENGTH + 1)
  output[test] = output[test] text "\n"
  if (text ~ /^\[doctest\] test cases:/) {
    gsub(/[^0-9]+/, " ", text)
    split(text, n, " ")
    # "12 | 11 passed | 0 failed | 1 skipped"
    passed[test] = n[2]; failed[test] = n[3]; skipped[test] = n[4] + 0
    counted[test] = 1
  } else if (text ~ /^[0-9]+ passed, [0-9]+ failed/) {
    gsub(/[^0-9]+/, " ", text)
    split(text, n, " ")
    passed[test] = n[1]; failed[test] = n[2]; skipped[test] = n[3] + 0
    counted[test] = 1
  }
  next
}

# " 3/20 Test #12: unit_text ........   Passed    0.02 sec"
match($0, /^ *[0-9]+\/[0-9]+ Test +#[0-9]+: /) {
  test = substr($0, 1, RLENGTH)
  sub(/^.*#/, "", test)
  sub(/:.*$/, "", test)
  rest = substr($0, RLENGTH + 1)
  name = rest
  sub(/ .*$/, "", name)
  tests++
  if (rest ~ /Skipped/) {
    total_skipped++
    print "skipped: " name
    printf "%s", output[test]
    next
  }
  good = rest ~ / Passed /
  if (!counted[test]) { passed[test] = good; failed[test] = !good }
  # A program that dies after its summary, or before it, is one failure more.
  if (!good && failed[test] == 0) failed[test] = 1
  total_passed += passed[test]; total_failed += failed[test]; total_skipped += skipped[test]
  printf "%-28s %4d passed, %d failed%s\n", name, passed[test], failed[test], good ? "" : "   <--"
  if (!good) printf "%s", output[test]
}

END {
  if (clang == "passed") total_passed++
  if (clang == "failed") total_failed++
  if (clang == "skipped") total_skipped++
  if (clang != "skipped") printf "%-28s %4d passed, %d failed\n", "clang_build", clang == "passed", clang == "failed"
  if (tests == 0) { print "no test ran"; total_failed++ }
  printf "%d passed, %d failed", total_passed, total_failed
  if (total_skipped > 0) printf ", %d skipped", total_skipped
  print ""
  exit total_failed > 0
}
