#!/usr/bin/env bash
# Makes the pictures of the documentation anew, with the program itself from the example plates. Look at them before you
# commit them.
#   bash docs/pictures/make.sh [BEADWISE]
# Needs Chromium (bash examples/install_packages.sh browser) and the packages of tests/browser (bash
# tests/browser/install.sh).
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
source_dir=$(cd "$here/../.." && pwd)
beadwise=$(realpath "${1:-$source_dir/build/cli/beadwise}")
chromium=$(command -v chromium || command -v chromium-browser || command -v google-chrome) || { echo "There is no Chromium." >&2; exit 1; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
NODE_PATH=$source_dir/tests/browser/node_modules node "$here/make.js" "$chromium" "$beadwise" "$source_dir/examples/plates" "$work" "$here"
ls -l "$here"/*.png
