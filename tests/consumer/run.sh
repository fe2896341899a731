#!/usr/bin/env bash
# Does the library serve a program of somebody else's, installed and as a folder of sources?
#   bash tests/consumer/run.sh BUILD_DIR SOURCE_DIR
set -uo pipefail
build_dir=$1
source_dir=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
. "$source_dir/tests/support/facts.sh"

# The flags of the build under test: then its compiled objects can be had again from the compiler cache.
setting() { sed -n "s/^$1:[A-Z]*=//p" "$build_dir/CMakeCache.txt"; }
same_build=(-G "$(setting CMAKE_GENERATOR)" -DCMAKE_BUILD_TYPE="$(setting CMAKE_BUILD_TYPE)"
  -DCMAKE_CXX_COMPILER="$(setting CMAKE_CXX_COMPILER)" -DCMAKE_CXX_FLAGS="$(setting CMAKE_CXX_FLAGS)")

build_and_run() {
  local folder=$1
  shift
  cmake -S "$source_dir/tests/consumer" -B "$folder" "${same_build[@]}" "$@" &&
    cmake --build "$folder" && "$folder/consumer" | grep '^beadwise 0\.1\.0: tag.gcode is ' >/dev/null
}

installed_headers_are_the_public_ones() {
  diff <(cd "$source_dir/lib/include" && find . -name '*.hpp' | sort) <(cd "$work/prefix/include" && find . -name '*.hpp' | sort)
}

fact "the build installs" cmake --install "$build_dir" --prefix "$work/prefix"
fact "what is installed are the public headers" installed_headers_are_the_public_ones
fact "find_package(beadwise)" build_and_run "$work/installed" -DCMAKE_PREFIX_PATH="$work/prefix"
fact "add_subdirectory" build_and_run "$work/from_source" -DBEADWISE_FROM="$source_dir" \
  -DBEADWISE_DEVELOPER="$(setting BEADWISE_DEVELOPER)"

echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
