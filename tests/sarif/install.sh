#!/usr/bin/env bash
# Installs the pinned npm packages that the tests of SARIF need, in this folder, as far as they can be had. What is
# missing afterwards is no failure: the test says so and is skipped. BEADWISE_NO_INSTALL=1 installs nothing.
set -uo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
[ "${BEADWISE_NO_INSTALL:-0}" = 1 ] && exit 0

# npm notes in this file what it put there.
installed=$here/node_modules/.package-lock.json
if command -v npm >/dev/null && { [ ! -e "$installed" ] || [ "$here/package-lock.json" -nt "$installed" ]; }; then
  echo "Installing with npm: the packages of tests/sarif/package.json"
  (cd "$here" && npm ci --ignore-scripts --no-audit --no-fund >/dev/null 2>&1) ||
    echo "npm cannot fetch them; SARIF will not be held against its schema."
fi
exit 0
