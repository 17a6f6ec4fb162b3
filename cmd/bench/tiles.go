package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"github.com/airbusgeo/godal"
)

// The same raster as a folder of tiles.
const (
	tileSize  = 100                   // cells a side
	tilesSide = rasterSize / tileSize // tiles a side
)

// cutVersion changes whenever the tiles or the tract would: those of another
// version, or of another raster, are made again.
const cutVersion = 1

// cutStamp is kept to know a folder of tiles again.
type cutStamp struct {
	Version, JobVersion int
	Bytes               int64 // size of the file that was cut
}

func stampOf(j job) cutStamp { return cutStamp{cutVersion, j.Version, j.Bytes} }

func tilesIn(dir string) string { return filepath.Join(dir, "tiles") }
func tractIn(dir string) string { return filepath.Join(dir, "tract.geojson") }
func stampIn(dir string) string { return filepath.Join(dir, "tiles.json") }

func tileName(row, col int) string { return fmt.Sprintf("r%02d-c%02d.tif", row, col) }

// tilesOf names the tiles that a window touches.
func tilesOf(w window) []string {
	var names []string
	for row := w.Row / tileSize; row <= (w.Row+w.Rows-1)/tileSize; row++ {
		for col := w.Col / tileSize; col <= (w.Col+w.Cols-1)/tileSize; col++ {
			names = append(names, tileName(row, col))
		}
	}
	return names
}

// keptTiles says whether a folder holds the tiles of a job, and the tract.
func keptTiles(dir string, j job) (bool, error) {
	text, err := os.ReadFile(stampIn(dir))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	var s cutStamp
	if json.Unmarshal(text, &s) != nil || s != stampOf(j) {
		return false, nil
	}
	tiles, err := filepath.Glob(filepath.Join(tilesIn(dir), "r*-c*.tif"))
	return len(tiles) == tilesSide*tilesSide, err
}

// makeTiles cuts the raster of a folder and writes the tract. What says that
// they are whole is written last.
func makeTiles(dir string) error {
	j, ok, err := kept(dir)
	if err != nil {
		return err
	}
	if !ok {
		return fmt.Errorf("%s is not there or not whole: make it first, with --make", j.elevation)
	}
	if err := errors.Join(os.RemoveAll(stampIn(dir)), os.RemoveAll(tilesIn(dir))); err != nil {
		return err
	}
	if err := os.Mkdir(tilesIn(dir), 0o777); err != nil {
		return err
	}
	ring, err := parcelRing(tractCorners[:])
	if err != nil {
		return err
	}
	if err := writeParcel(tractIn(dir), ring); err != nil {
		return err
	}
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return err
	}
	// Each worker cuts a run of neighbouring rows, so that GDAL's block cache
	// unpacks few of the raster's blocks twice.
	workers := min(runtime.NumCPU(), tilesSide)
	failures := make([]error, workers)
	var all sync.WaitGroup
	for i := range workers {
		all.Go(func() {
			failures[i] = cutRows(j.elevation, tilesIn(dir), tilesSide*i/workers, tilesSide*(i+1)/workers)
		})
	}
	all.Wait()
	if err := errors.Join(failures...); err != nil {
		return err
	}
	text, err := json.Marshal(stampOf(j))
	if err != nil {
		return err
	}
	return os.WriteFile(stampIn(dir), text, 0o666)
}

// cutRows writes the tiles of some rows of tiles, through datasets of its own.
func cutRows(raster, folder string, from, to int) (err error) {
	ds, err := godal.Open(raster)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, ds.Close()) }()
	utm, err := godal.NewSpatialRefFromEPSG(epsg)
	if err != nil {
		return err
	}
	defer utm.Close()
	heights, tile := make([]float32, tileSize*rasterSize), make([]float32, tileSize*tileSize)
	for row := from; row < to; row++ {
		if err := ds.Bands()[0].Read(0, row*tileSize, heights, rasterSize, tileSize); err != nil {
			return fmt.Errorf("%s: %w", raster, err)
		}
		for col := range tilesSide {
			for i := range tileSize {
				copy(tile[i*tileSize:(i+1)*tileSize], heights[i*rasterSize+col*tileSize:])
			}
			path := filepath.Join(folder, tileName(row, col))
			if err := writeTile(path, utm, row, col, tile); err != nil {
				return fmt.Errorf("%s: %w", path, err)
			}
		}
	}
	return nil
}

func writeTile(path string, utm *godal.SpatialRef, row, col int, heights []float32) error {
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, tileSize, tileSize, godal.CreationOption(
		fmt.Sprint("BLOCKYSIZE=", tileSize), "COMPRESS=LZW", "PREDICTOR=3"))
	if err != nil {
		return err
	}
	err = errors.Join(ds.SetSpatialRef(utm),
		ds.SetGeoTransform([6]float64{westM + float64(col*tileSize), 1, 0, northM - float64(row*tileSize), 0, -1}),
		ds.Bands()[0].Write(0, 0, heights, tileSize, tileSize))
	return errors.Join(err, ds.Close())
}
