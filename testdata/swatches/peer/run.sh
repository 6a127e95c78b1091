#!/bin/sh
# Compares the flat part of a card with Cairo's (Debian: libcairo2-dev,
# pkg-config, gcc) in one run, pixel for pixel, and prints the ratio of times.
set -e
cd "$(dirname "$0")"
built=$(mktemp -d)
trap 'rm -rf "$built"' EXIT
cc -O2 flat.c $(pkg-config --cflags --libs cairo) -o "$built/flat"
SWATCHES_PEER="$built/flat" go test -count=1 -run TestPeer -v ../../../swatches
