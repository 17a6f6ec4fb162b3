"""The zones of many lots, lot after lot in the order of the file: what a developer
would write with rasterio, numpy and shapely.

    per_lot.py ELEVATION LOTS OUT

Of each lot the window of elevation with one cell around is read, slope is found by
Horn's method, cells are put into classes at 30, 40 and 100 %, outlined, cut at the lot's
line, joined class by class and written as a line of GeoJSON with its square metres.
"""
import json
import sys

import numpy as np
import rasterio
from rasterio.features import shapes
from rasterio.warp import transform_geom
from rasterio.windows import Window
from shapely.geometry import mapping, shape
from shapely.ops import unary_union

LIMITS = np.array([0.30, 0.40, 1.00])


def main(elevation, lots, out):
    with open(lots) as f:
        features = json.load(f)["features"]
    with rasterio.open(elevation) as src, open(out, "w") as sink:
        for feature in features:
            lot = shape(transform_geom("EPSG:4326", src.crs, feature["geometry"]))
            west, south, east, north = lot.bounds
            row0, col0 = src.index(west, north)
            row1, col1 = src.index(east, south)
            window = Window(col0 - 1, row0 - 1, col1 - col0 + 3, row1 - row0 + 3)
            z = src.read(1, window=window).astype("float64")
            w, e = src.res
            dx = ((z[:-2, 2:] + 2 * z[1:-1, 2:] + z[2:, 2:]) - (z[:-2, :-2] + 2 * z[1:-1, :-2] + z[2:, :-2])) / (8 * w)
            dy = ((z[2:, :-2] + 2 * z[2:, 1:-1] + z[2:, 2:]) - (z[:-2, :-2] + 2 * z[:-2, 1:-1] + z[:-2, 2:])) / (8 * e)
            classes = (np.digitize(np.hypot(dx, dy), LIMITS) + 1).astype("uint8")
            inner = Window(col0, row0, classes.shape[1], classes.shape[0])
            by_class = {}
            for geometry, value in shapes(classes, transform=src.window_transform(inner)):
                piece = shape(geometry).intersection(lot)
                if not piece.is_empty:
                    by_class.setdefault(int(value), []).append(piece)
            for value, pieces in sorted(by_class.items()):
                zone = unary_union(pieces)
                geometry = transform_geom(src.crs, "EPSG:4326", mapping(zone), precision=9)
                properties = {"lot": feature["properties"]["lot"], "class": value, "m2": zone.area}
                sink.write(json.dumps({"type": "Feature", "properties": properties, "geometry": geometry}) + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
