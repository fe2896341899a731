#!/usr/bin/env bash
# Installs what is needed, builds the program in build/ and checks the example plates. Safe to run again.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
step() { printf '\n== %s\n' "$1"; }

step "1. Packages: the compiler, CMake and the libraries behind the program (nothing where all are there)"
bash examples/install_packages.sh build

step "2. Build: into build/, a few minutes the first time, seconds afterwards"
[ -f build/build.ninja ] || cmake -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release -DBEADWISE_TESTS=OFF --log-level=WARNING
cmake --build build --parallel "$(nproc)" --target beadwise_cli
beadwise=$(find build/cli -maxdepth 1 -type f -name beadwise | head -n 1)

step "3. Check: small prints of an orchard's print bench; most fail in one way on purpose"
plates=(examples/plates examples/plates/with_profile examples/plates/with_liner)
echo "\$ $beadwise check ${plates[*]}"
status=0
"$beadwise" check "${plates[@]}" || status=$?
[ "$status" -le 1 ] || exit "$status"

step "4. What the exit status means"
case $status in
  0) echo "0: no file has an error, a queue would let all of them through." ;;
  1) echo "1: at least one file has an error, a queue would hold it back. That is what these plates are for." ;;
esac
echo "Now your own file:    $beadwise check FILE.gcode"
echo "What a check means:   $beadwise explain dense-retraction"
echo "What was assumed:     $beadwise profile show FILE.gcode"
