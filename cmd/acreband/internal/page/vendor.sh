#!/usr/bin/env bash
# Fetches what others wrote for the page, at fixed versions and checked, with its
# licence: Leaflet draws the map (static/leaflet), axe-core checks the page in tests
# (testdata/axe). Run it only to change a version; what it fetches is kept in the
# tree, so that neither building nor serving needs a network. It uses npm's own
# registry setting.
set -euo pipefail
cd "$(dirname "$0")"

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# fetch NAME VERSION SHA512
fetch() {
    local tarball
    tarball=$(npm pack --silent --pack-destination "$work" "$1@$2")
    local sum
    sum=$(openssl dgst -sha512 -binary "$work/$tarball" | base64 -w0)
    [ "$sum" = "$3" ] || { echo "$1@$2 has checksum $sum, not $3" >&2; exit 1; }
    mkdir "$work/$1"
    tar -xzf "$work/$tarball" -C "$work/$1" --strip-components 1
}

fetch leaflet 1.9.4 nxS1ynzJOmOlHp+iL3FyWqK89GtNL8U8rvlMOsQdTTssxZwCXh8N2NB3GDQOL+YR3XnWyZAxwQixURb+FA74PA==
mkdir -p static/leaflet
cp "$work"/leaflet/dist/leaflet.css "$work"/leaflet/LICENSE static/leaflet/
# Without the link to a map of the source, which is not kept.
sed '/^\/\/# sourceMappingURL=/d' "$work"/leaflet/dist/leaflet.js >static/leaflet/leaflet.js

fetch axe-core 4.14.1 FHfa+lmNjQZfJz1q8wKqIDwC6DExcHt/pkjNQb09a3NPjCKg2rhu5qb2S4r76ASyFNNtuFooJpZe37OgudVGtQ==
mkdir -p testdata/axe
cp "$work"/axe-core/axe.min.js "$work"/axe-core/LICENSE "$work"/axe-core/LICENSE-3RD-PARTY.txt testdata/axe/
