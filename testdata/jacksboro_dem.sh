#!/usr/bin/env bash
# Makes jacksboro_dem.tif, beside this script, from the elevation sample that
# Debian's package python-matplotlib-data carries. SOURCES.md tells what the
# numbers below rest on.
#
# Needs apt-get, dpkg-deb, unzip, and gdal_translate from gdal-bin. The bytes
# of the result are those in SOURCES.md with GDAL 3.6.2 (Debian 12).
set -euo pipefail

out=$(cd "$(dirname "$0")" && pwd)/jacksboro_dem.tif
npz_sha256=d493f50a33e82a4420494c54d1fca1539d177bdc27ab190bc5fe6e92f62fb637

for tool in apt-get dpkg-deb unzip gdal_translate; do
    command -v "$tool" >/dev/null || {
        echo "jacksboro_dem.sh: $tool not found: apt-get install unzip gdal-bin" >&2
        exit 1
    }
done

tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
cd "$tmp"
# As root, apt drops to its own user, which has to be able to write here.
chmod 755 . && { chown _apt . 2>/dev/null || true; }
apt-get download -qq python-matplotlib-data
dpkg-deb -x python-matplotlib-data_*.deb package
npz=$(find package -name jacksboro_fault_dem.npz)
echo "$npz_sha256  $npz" | sha256sum --check --quiet
unzip -q "$npz"

# elevation.npy: an 80-byte header, then 344 rows of 403 little-endian int16,
# northern row first.
cols=403 rows=344
head -c 80 elevation.npy | grep -qa "'<i2', 'fortran_order': False, 'shape': ($rows, $cols)"
cat >elevation.vrt <<VRT
<VRTDataset rasterXSize="$cols" rasterYSize="$rows">
  <VRTRasterBand dataType="Int16" band="1" subClass="VRTRawRasterBand">
    <SourceFilename relativeToVRT="1">elevation.npy</SourceFilename>
    <ImageOffset>80</ImageOffset>
    <PixelOffset>2</PixelOffset>
    <LineOffset>$((2 * cols))</LineOffset>
    <ByteOrder>LSB</ByteOrder>
  </VRTRasterBand>
</VRTDataset>
VRT

# West, north, east and south edges in degrees. West, north and east are the
# archive's xmin, ymax and xmax; south is ymax - 344 x dy, not its ymin.
west=-84.41375 north=36.44625 east=-84.07791666666667 south=36.15958333333333
gdal_translate -q -of GTiff -a_srs EPSG:4326 -a_ullr $west $north $east $south \
    -co TILED=YES -co BLOCKXSIZE=128 -co BLOCKYSIZE=128 \
    -co COMPRESS=DEFLATE -co ZLEVEL=9 -co PREDICTOR=2 \
    elevation.vrt jacksboro_dem.tif
mv jacksboro_dem.tif "$out"
sha256sum "$out"
