#!/usr/bin/env bash
# Installs what the tests of the page need, as far as it can be had: Chromium by apt, the pinned npm packages in this
# folder. What is missing afterwards is no failure: the tests say so and are skipped. BEADWISE_NO_INSTALL=1 installs
# nothing.
set -uo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
[ "${BEADWISE_NO_INSTALL:-0}" = 1 ] && exit 0

command -v chromium >/dev/null || bash "$here/../../examples/install_packages.sh" browser >/dev/null 2>&1 ||
  echo "Chromium cannot be installed here; the tests of the page will be skipped."

exec bash "$here/../support/install_npm.sh" "$here" "the tests of the page will be skipped."
