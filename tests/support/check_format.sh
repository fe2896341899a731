#!/usr/bin/env bash
# Is every C++ file formatted as .clang-format says? Skips (77) without clang-format 14, since others format otherwise.
#   bash tests/support/check_format.sh SOURCE_DIR CLANG_FORMAT
set -uo pipefail
cd "$1" || exit 1
if ! "$2" --version 2>/dev/null | grep 'version 14\.' >/dev/null; then
  echo "skipped: there is no clang-format 14"
  exit 77
fi
status=0
while read -r file; do
  "$2" --dry-run -Werror "$file" 2>/dev/null && continue
  echo "not formatted: $file"
  status=1
done < <(find lib cli tests examples -name '*.cpp' -o -name '*.hpp' | sort)
exit "$status"
