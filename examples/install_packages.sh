#!/usr/bin/env bash
# Installs what building (`build`) or testing (`tests`) needs, on Debian 12 and Ubuntu 24.04 with apt; what testing in a
# browser (`browser`) needs on Debian 12 alone.
# Says what it installs; does nothing where all is there. BEADWISE_NO_INSTALL=1 leaves the machine as it is.
set -euo pipefail

build=(g++ cmake ninja-build ccache pkgconf libboost-dev libeigen3-dev libfmt-dev nlohmann-json3-dev
  libtomlplusplus-dev zlib1g-dev nettle-dev libcli11-dev)
tests=(doctest-dev libboost-math-dev gzip python3 libgeos-dev libfreetype-dev hershey-fonts-data fonts-dejavu-core
  fonts-ebgaramond fonts-oldstandard libxml2-utils cmark-gfm dpkg-dev man-db
  mandoc zsh fish)
browser=(chromium)

case "${1:-}" in
  build) wanted=("${build[@]}") ;;
  tests) wanted=("${build[@]}" "${tests[@]}") ;;
  browser) wanted=("${browser[@]}") ;;
  *) echo "usage: bash examples/install_packages.sh build|tests|browser" >&2; exit 2 ;;
esac
[ "${BEADWISE_NO_INSTALL:-0}" = 1 ] && exit 0

if ! command -v apt-get >/dev/null || ! command -v dpkg-query >/dev/null; then
  {
    echo "This machine has no apt. Please install what these Debian packages hold, then run again with BEADWISE_NO_INSTALL=1:"
    printf '  %s\n' "${wanted[@]}"
  } >&2
  exit 1
fi

missing=()
for package in "${wanted[@]}"; do
  status=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing+=("$package")
done
[ ${#missing[@]} -eq 0 ] && exit 0

as_root=()
if [ "$(id -u)" != 0 ]; then
  if ! command -v sudo >/dev/null; then
    {
      echo "These packages are missing, and there is no sudo to install them with. Please have them installed:"
      printf '  %s\n' "${missing[@]}"
    } >&2
    exit 1
  fi
  as_root=(sudo)
fi

echo "Installing with apt: ${missing[*]}"
install=(apt-get install -y --no-install-recommends "${missing[@]}")
noninteractive=(env DEBIAN_FRONTEND=noninteractive)
# The package lists of a machine may be new enough; only where they are not, they are fetched.
"${as_root[@]}" "${noninteractive[@]}" "${install[@]}" >/dev/null 2>&1 </dev/null || {
  "${as_root[@]}" "${noninteractive[@]}" apt-get update -q </dev/null
  "${as_root[@]}" "${noninteractive[@]}" "${install[@]}" </dev/null
}
