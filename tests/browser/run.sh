#!/usr/bin/env bash
# The HTML report in a real browser: requests, errors, accessibility, keyboard, print, pictures.
#   bash tests/browser/run.sh BEADWISE SOURCE_DIR [--approve]
# With --approve the pictures of now become the expected ones: look at them before you commit them.
# Exit status 77 where there is nothing to test with; one sentence says what is missing.
set -uo pipefail
beadwise=$(realpath "$1")
source_dir=$(realpath "$2")
here=$source_dir/tests/browser
chromium=$(command -v chromium || command -v chromium-browser || command -v google-chrome || true)

skip() {
  echo "The page was not tested in a browser: $1."
  exit 77
}
[ -n "$chromium" ] || skip "there is no Chromium"
command -v node >/dev/null || skip "there is no Node.js"
[ "$(node -p 'parseInt(process.versions.node)')" -ge 20 ] || skip "Node.js is older than version 20"
[ -d "$here/node_modules/playwright-core" ] || skip "the packages of tests/browser/package.json are not installed"

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$here" && node page_test.js "$chromium" "$beadwise" "$source_dir" "$work" "${3:-}"
