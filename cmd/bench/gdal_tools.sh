#!/bin/sh
# The zones of a parcel by GDAL's command-line tools: slope, classes, outlines,
# cut at the boundary, dissolved to one feature a class, longitude and latitude.
#
#   gdal_tools.sh ELEVATION PARCEL OUT COLUMN ROW COLUMNS ROWS DISSOLVE
#
# DISSOLVE is ST_Union, or ST_Collect, which is quicker and serves where, as
# here, no two pieces of a class share an edge.
#
# Each step takes the quicker of the ways that were tried: windows and classes
# are VRTs, which cost no pass over the cells (gdal_calc.py takes three times as
# long); intermediate outlines are FlatGeobuf, not indexed where nothing asks
# for an index; pieces are cut before they are dissolved.
set -eu
elevation=$1 parcel=$2 out=$3 column=$4 row=$5 columns=$6 rows=$7 dissolve=$8
rm -rf "$out"
mkdir -p "$out"
cd "$out"

gdal_translate -q -of VRT -srcwin "$column" "$row" "$columns" "$rows" "$elevation" window.vrt
gdaldem slope -q -p window.vrt slope.tif

# Classes 1 to 4: up to 30%, 40%, 100%, and steeper. A LUT runs straight between
# its entries, so each limit has one entry at it and one just above.
gdal_translate -q -of VRT -ot Byte -a_nodata 0 slope.tif plain.vrt
sed -e 's/SimpleSource/ComplexSource/' \
	-e 's#</ComplexSource>#<LUT>-1:0,0:1,30:1,30.00001:2,40:2,40.00001:3,100:3,100.00001:4</LUT>&#' \
	plain.vrt >classes.vrt

gdal_polygonize.py -q classes.vrt -f FlatGeobuf pieces.fgb pieces class
ogr2ogr -f FlatGeobuf -lco SPATIAL_INDEX=NO -nln cut -nlt PROMOTE_TO_MULTI \
	-t_srs EPSG:4326 -clipdst "$parcel" cut.fgb pieces.fgb
ogr2ogr -f GeoJSON -nln zones zones.geojson cut.fgb \
	-dialect sqlite -sql "SELECT class, $dissolve(geometry) AS geometry FROM cut GROUP BY class"
