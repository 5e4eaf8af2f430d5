#!/usr/bin/env bash
# Installs what the tests need and npm does not bring, from Debian: Mosquitto with its clients, PostgreSQL, Chromium, Poppler's tools for PDF, and
# what the fault suite breaks things with.
# Does nothing where they are there already.
set -eu
missing=()
command -v mosquitto >/dev/null || [ -x /usr/sbin/mosquitto ] || missing+=(mosquitto)
command -v mosquitto_pub >/dev/null || missing+=(mosquitto-clients)
command -v pdftotext >/dev/null || missing+=(poppler-utils)
command -v openssl >/dev/null || missing+=(openssl)
[ -x /usr/bin/chromium ] || missing+=(chromium fonts-dejavu-core)
command -v strace >/dev/null || missing+=(strace)
command -v faketime >/dev/null || missing+=(faketime)
command -v ip >/dev/null || [ -x /usr/sbin/ip ] || missing+=(iproute2)
compgen -G '/usr/lib/postgresql/*/bin/postgres' >/dev/null || missing+=(postgresql)
command -v nft >/dev/null || [ -x /usr/sbin/nft ] || missing+=(nftables)
[ ${#missing[@]} = 0 ] && exit 0

if ! command -v apt-get >/dev/null; then
  echo "The tests need ${missing[*]}. Install them with this system's package manager, then run npm test again." >&2
  exit 1
fi
sudo=()
[ "$(id -u)" = 0 ] || sudo=(sudo)
export DEBIAN_FRONTEND=noninteractive
"${sudo[@]}" apt-get update -qq
"${sudo[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
