#!/usr/bin/env bash
# Installs the pinned npm packages that the tests of SARIF need, in this folder, as far as they can be had. What is
# missing afterwards is no failure: the test says so and is skipped. BEADWISE_NO_INSTALL=1 installs nothing.
set -uo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
[ "${BEADWISE_NO_INSTALL:-0}" = 1 ] && exit 0

exec bash "$here/../support/install_npm.sh" "$here" "SARIF will not be held against its schema."
