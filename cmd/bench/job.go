package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// The raster: 10 km by 10 km at 1 m, tiled and packed as public elevation is.
const (
	epsg       = 26917 // NAD83 / UTM zone 17N
	westM      = 355000.0
	northM     = 3970000.0
	rasterSize = 10000 // cells a side, each 1 m
)

// jobVersion changes whenever the raster or the parcel would: a kept job of
// another version is made again.
const jobVersion = 1

// corners bound the parcel of 45 acres clockwise, in cells from the raster's north-west
// corner. It lies on four tiles.
var corners = [...][2]float64{
	{4824.5, 4734}, {4970.5, 4696}, {5093.5, 4747.5}, {5185.5, 4716.5}, {5301, 4806.5}, {5280.5, 4931.5},
	{5337.5, 5050.5}, {5236, 5156}, {5101.5, 5125}, {4988, 5199}, {4860, 5112.5}, {4890, 4937.5},
}

// job is what the runs are given, and what is kept to know it again.
type job struct {
	Version   int
	Bytes     int64  // size of the raster's file
	Window    window // the cells around the parcel
	elevation string
	parcel    string
}

type window struct{ Col, Row, Cols, Rows int }

// halo is how many cells acreband reads around a parcel.
const halo = 3

// kept reads the job of a folder; false where there is none of this version.
func kept(dir string) (job, bool, error) {
	j := jobIn(dir)
	text, err := os.ReadFile(filepath.Join(dir, "job.json"))
	if errors.Is(err, fs.ErrNotExist) {
		return j, false, nil
	}
	if err != nil {
		return j, false, err
	}
	if err := json.Unmarshal(text, &j); err != nil {
		return j, false, nil
	}
	info, err := os.Stat(j.elevation)
	return j, err == nil && j.Version == jobVersion && info.Size() == j.Bytes, nil
}

func jobIn(dir string) job {
	return job{elevation: filepath.Join(dir, "elevation.tif"), parcel: filepath.Join(dir, "parcel.geojson")}
}

// makeJob makes raster and parcel in a folder. What says that they are whole is
// written last.
func makeJob(dir string) error {
	j := jobIn(dir)
	j.Version, j.Window = jobVersion, around(corners[:])
	ring, err := parcelRing(corners[:])
	if err != nil {
		return err
	}
	if err := writeParcel(j.parcel, ring); err != nil {
		return err
	}
	if err := writeRaster(j.elevation); err != nil {
		return fmt.Errorf("%s: %w", j.elevation, err)
	}
	info, err := os.Stat(j.elevation)
	if err != nil {
		return err
	}
	j.Bytes = info.Size()
	text, err := json.Marshal(j)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "job.json"), text, 0o666)
}

// around is the window of cells that acreband reads for a boundary.
func around(cells [][2]float64) window {
	c0, r0, c1, r1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range cells {
		c0, r0, c1, r1 = min(c0, c[0]), min(r0, c[1]), max(c1, c[0]), max(r1, c[1])
	}
	col, row := int(math.Floor(c0))-halo, int(math.Floor(r0))-halo
	return window{col, row, int(math.Ceil(c1)) + halo - col, int(math.Ceil(r1)) + halo - row}
}

// parcelRing is a boundary of clockwise corners, in cells from the raster's
// north-west corner, as WGS84 longitude and latitude: closed, counter-clockwise.
func parcelRing(corners [][2]float64) (orb.Ring, error) {
	utm, err := godal.NewSpatialRefFromEPSG(epsg)
	if err != nil {
		return nil, err
	}
	defer utm.Close()
	wgs84, err := godal.NewSpatialRefFromEPSG(4326)
	if err != nil {
		return nil, err
	}
	defer wgs84.Close()
	t, err := godal.NewTransform(utm, wgs84)
	if err != nil {
		return nil, err
	}
	defer t.Close()
	x, y := make([]float64, len(corners)), make([]float64, len(corners))
	for i, c := range corners {
		x[i], y[i] = westM+c[0], northM-c[1]
	}
	if err := t.TransformEx(x, y, nil, nil); err != nil {
		return nil, err
	}
	ring := make(orb.Ring, len(corners)+1)
	for i := range ring {
		k := (len(corners) - i) % len(corners)
		ring[i] = orb.Point{math.Round(x[k]*1e9) / 1e9, math.Round(y[k]*1e9) / 1e9}
	}
	return ring, nil
}

func writeParcel(path string, ring orb.Ring) error {
	coordinates, err := json.Marshal(orb.Polygon{ring})
	if err != nil {
		return err
	}
	text := fmt.Sprintf(`{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"lot": "bench"}, `+
		`"geometry": {"type": "Polygon", "coordinates": %s}}]}`+"\n", coordinates)
	return os.WriteFile(path, []byte(text), 0o666)
}

func writeRaster(path string) error {
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return err
	}
	const tile = 512
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, rasterSize, rasterSize, godal.CreationOption(
		"TILED=YES", fmt.Sprint("BLOCKXSIZE=", tile), fmt.Sprint("BLOCKYSIZE=", tile),
		"COMPRESS=LZW", "PREDICTOR=3", "NUM_THREADS=ALL_CPUS"))
	if err != nil {
		return err
	}
	err = fillRaster(ds, tile)
	return errors.Join(err, ds.Close())
}

func fillRaster(ds *godal.Dataset, rows int) error {
	utm, err := godal.NewSpatialRefFromEPSG(epsg)
	if err != nil {
		return err
	}
	defer utm.Close()
	if err := ds.SetSpatialRef(utm); err != nil {
		return err
	}
	if err := ds.SetGeoTransform([6]float64{westM, 1, 0, northM, 0, -1}); err != nil {
		return err
	}
	ground, heights := newRelief(rasterSize), make([]float32, rows*rasterSize)
	for row := 0; row < rasterSize; row += rows {
		n := min(rows, rasterSize-row)
		for i := range n {
			ground.row(heights[i*rasterSize:(i+1)*rasterSize], row+i)
		}
		if err := ds.Bands()[0].Write(0, row, heights[:n*rasterSize], rasterSize, n); err != nil {
			return err
		}
	}
	return nil
}
