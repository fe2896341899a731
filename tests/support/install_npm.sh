#!/usr/bin/env bash
# Installs the npm packages that a folder of tests pins, there, as far as they can be had; what is missing afterwards is
# no failure.
#   bash tests/support/install_npm.sh FOLDER WHAT_IS_MISSED_WITHOUT
set -uo pipefail
folder=$1
# npm notes in this file what it put there.
installed=$folder/node_modules/.package-lock.json
if command -v npm >/dev/null && { [ ! -e "$installed" ] || [ "$folder/package-lock.json" -nt "$installed" ]; }; then
  echo "Installing with npm: the packages of tests/$(basename "$folder")/package.json"
  (cd "$folder" && npm ci --ignore-scripts --no-audit --no-fund >/dev/null 2>&1) || echo "npm cannot fetch them; $2"
fi
exit 0
