#!/usr/bin/env bash
# Installs what the tests need and npm does not bring, from Debian: Mosquitto with its clients, PostgreSQL, Chromium, Poppler's tools for PDF, and
# what the fault suite breaks things with; and, unpacked beside the system, ejabberd, a cluster of MQTT brokers.
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

if [ ${#missing[@]} != 0 ] && ! command -v apt-get >/dev/null; then
  echo "The tests need ${missing[*]}. Install them with this system's package manager, then run npm test again." >&2
  exit 1
fi
if [ ${#missing[@]} != 0 ]; then
  sudo=()
  [ "$(id -u)" = 0 ] || sudo=(sudo)
  export DEBIAN_FRONTEND=noninteractive
  "${sudo[@]}" apt-get update -qq
  "${sudo[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
fi

# ejabberd, installed, would be a service on the network: it is unpacked for the tests' own use only (17 s on a quiet machine, 55 MB). Where it can't be had, one
# test is skipped, and says so.
cluster=${XDG_CACHE_HOME:-~/.cache}/potside-tests/ejabberd
compgen -G '/usr/lib/*/ejabberd-*' >/dev/null || compgen -G "$cluster/usr/lib/*/ejabberd-*" >/dev/null && exit 0
fetch_cluster() (
  packages=$(mktemp -d)
  trap 'rm -rf "$packages" "$cluster.new"' EXIT
  mkdir -p "$packages/partial" "$cluster.new"
  [ ${#missing[@]} != 0 ] || [ "$(id -u)" != 0 ] || timeout 60 apt-get update -qq || true
  timeout 120 apt-get install -y -qq --no-install-recommends --download-only -o Debug::NoLocking=1 -o APT::Sandbox::User=root -o Dir::Cache::archives="$packages" ejabberd >/dev/null || return
  for package in "$packages"/*.deb; do dpkg -x "$package" "$cluster.new" || return; done
  rm -rf "$cluster" && mv "$cluster.new" "$cluster"
)
fetch_cluster || echo "ejabberd could not be fetched; the test over a cluster of brokers is skipped." >&2
