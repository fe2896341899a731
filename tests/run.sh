#!/usr/bin/env bash
# Installs what the tests need, builds in build/, runs every test and ends with "N passed, N failed".
#   bash tests/run.sh [PATTERN]     PATTERN: only the tests whose name matches (see `ctest -N`)
#   BEADWISE_BUILD=DIR              another build folder
#   BEADWISE_CLANG=0                no second build with Clang (it is made where clang++ is there)
#   BEADWISE_REAL=DIR               a folder of sliced files to try as well
set -euo pipefail
source_dir=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build_dir=${BEADWISE_BUILD:-$source_dir/build}
pattern=${1:-.}
jobs=$(nproc)
cd "$source_dir"

bash examples/install_packages.sh tests
bash tests/browser/install.sh
bash tests/sarif/install.sh

echo "== Building in $build_dir"
cmake -S . -B "$build_dir" -G Ninja -DCMAKE_BUILD_TYPE=Release -DBEADWISE_DEVELOPER=ON -DBEADWISE_TESTS=ON \
  -DBEADWISE_EXAMPLES=ON --log-level=WARNING
cmake --build "$build_dir" --parallel "$jobs"

echo "== Testing"
log=$build_dir/tests.log
ctest --test-dir "$build_dir" --parallel "$jobs" --tests-regex "$pattern" --verbose >"$log" 2>&1 || true

clang=skipped
if [ "$pattern" = . ] && [ "${BEADWISE_CLANG:-1}" != 0 ] && command -v clang++ >/dev/null; then
  echo "== Building once more with Clang in $build_dir/clang"
  clang=failed
  if cmake -S . -B "$build_dir/clang" -G Ninja -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Debug \
    -DCMAKE_CXX_FLAGS_DEBUG=-O0 -DBEADWISE_DEVELOPER=ON -DBEADWISE_TESTS=OFF -DBEADWISE_EXAMPLES=ON \
    --log-level=WARNING && cmake --build "$build_dir/clang" --parallel "$jobs"; then
    clang=passed
  fi
fi

awk -v clang="$clang" -f tests/support/count.awk "$log"
