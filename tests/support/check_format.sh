#!/usr/bin/env bash
# Is every C++ file formatted as .clang-format says? Skips (77) without clang-format 14.
#   bash tests/support/check_format.sh SOURCE_DIR CLANG_FORMAT
set -uo pipefail
cd "$1" || exit 1
if ! "$2" --version 2>/dev/null | grep -q 'version 14\.'; then
  echo "skipped: there is no clang-format 14"
  exit 77
fi
find lib cli tests examples -name '*.cpp' -o -name '*.hpp' | sort | xargs "$2" --dry-run -Werror
