#!/usr/bin/env bash
# Makes sure that Debian packages are there: installs them where it may, else says which are missing and fails.
set -euo pipefail

missing=()
for package in "$@"; do
  case $package in
    poppler-utils) command -v pdftotext >/dev/null && command -v pdftoppm >/dev/null || missing+=("$package") ;;
    chromium) command -v chromium >/dev/null || missing+=("$package") ;;
    postgresql) { command -v initdb || compgen -G '/usr/lib/postgresql/*/bin/initdb'; } >/dev/null || missing+=("$package") ;;
    *) dpkg-query --show --showformat='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing+=("$package") ;;
  esac
done
[ ${#missing[@]} -eq 0 ] && exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  if command -v sudo >/dev/null && sudo -n true 2>/dev/null; then
    as_root=(sudo -n)
  else
    as_root=(false)
  fi
fi
if ! command -v apt-get >/dev/null || [ "${as_root[*]}" = false ]; then
  echo "the tests read papers back as pictures, keep a house book in a database, drive a browser, and need: ${missing[*]}" >&2
  echo "not installed, and they cannot be installed from here. Debian, Ubuntu: sudo apt-get install ${missing[*]}" >&2
  exit 1
fi
echo "installing ${missing[*]}"
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" </dev/null >/dev/null
