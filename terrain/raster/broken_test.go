package raster

import (
	"context"
	"errors"
	"io"
	"math"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Sizes below zero whose product fills the cells went to GDAL; a raster that is none, a rim
// cut short and a mosaic of another catalogue panicked.
func TestBrokenInputsAreRefused(t *testing.T) {
	ctx := context.Background()
	place := terrain.Georeference{CRS: "EPSG:4326", Grid: [6]float64{-84, 0.001, 0, 36, 0, -0.001}}
	nowhere := place
	nowhere.Grid[2] = math.NaN()
	ground := orb.MultiPolygon{{{{-84, 36}, {-83.9, 36}, {-83.9, 36.1}, {-84, 36}}}}
	file := filepath.Join(t.TempDir(), "out.tif")
	parting := func(cols, rows, pieceCols int) Parting { return Parting{cols, rows, pieceCols, 64} }
	at := terrain.Window{Col1: 2, Row1: 3}
	piece := []Piece{{Path: "piece.tif", At: terrain.Window{Col0: 2, Col1: 1, Row1: 1}}}
	negative := Header{Place: place, Cols: -2, Rows: -3}
	for says, try := range map[string]func() error{
		"-2 columns × -3 rows":                  func() error { return WriteClasses(io.Discard, negative, make([]uint8, 6), make([]Class, 1)) },
		"-2 columns × -3 rows; it takes":        func() error { return WriteValues(io.Discard, negative, make([]float32, 6)) },
		"-2 columns × -3 rows; it takes 1":      func() error { return new(PieceWriter).Classes(file, parting(-2, -3, 64), at, nil, make([]uint8, 6)) },
		"-2 columns × -3 rows; it takes 1 to":   func() error { return new(PieceWriter).Values(file, parting(-2, -3, 64), at, nil, make([]float32, 6)) },
		"-2 columns × -3 rows; it takes 1 to 2": func() error { return WriteWhole(file, negative, parting(-2, -3, 64), nil, nil) },
		"lies nowhere": func() error {
			return WriteValues(io.Discard, Header{Place: nowhere, Cols: 1, Rows: 1}, make([]float32, 1))
		},
		"300 classes": func() error {
			return WriteWhole(file, Header{Place: place}, parting(1, 1, 64), nil, make([]Class, 300))
		},
		"the piece holds no cell": func() error { return WriteWhole(file, Header{Place: place}, parting(1, 1, 64), piece, nil) },
		"multiples of 16":         func() error { return WriteWhole(file, Header{Place: place}, parting(1, 1, 50), piece, nil) },
		"is no piece of 64 × 64 cells": func() error {
			return new(PieceWriter).Values(file, parting(200, 300, 64), at, nil, make([]float32, 6))
		},
		"5 cells do not fill 2 columns × 3 rows": func() error {
			return new(PieceWriter).Values(file, parting(2, 3, 64), at, nil, make([]float32, 5))
		},
		"raster 1 of 1 is none":               func() error { _, err := Read(ctx, []*Raster{nil}, ground); return err },
		"raster 2 of 2 is none; leave it out": func() error { _, err := ReadWide(ctx, []*Raster{{}, nil}, ground); return err },
		"not one of this catalogue's": func() error {
			_, err := CatalogueOf(nil, Options{}, nil).ReadCells(ctx, nil, terrain.Window{})
			return err
		},
		"lay them out with Catalogue.Mosaics": func() error {
			m := &Mosaic{Entries: make([]Entry, 1), At: []terrain.Window{{Col1: 1, Row1: 1}}}
			_, err := CatalogueOf(nil, Options{}, nil).ReadCells(ctx, m, terrain.Window{Col1: 1, Row1: 1})
			return err
		},
	} {
		assert.NotPanics(t, func() { assert.ErrorContains(t, try(), says) }, says)
	}
}

// SpotOf took corners from a rim that did not have them.
func TestARimCutShortLiesAnywhere(t *testing.T) {
	whole := rimOf(-84, 36, -83, 37)
	bad := append([][2]float64{{math.NaN(), 36}}, whole[1:]...)
	for _, rim := range [][][2]float64{nil, {{-84, 36}}, whole[:rimPieces], bad} {
		entries := []Entry{{Path: "no.tif", Rim: rim, CellM: [2]float64{10, 10}}}
		c := CatalogueOf(entries, Options{}, NewCache(1<<10))
		assert.NotPanics(t, func() {
			assert.Equal(t, []int{0}, c.Near(orb.MultiPolygon{{{{10, 10}}}}), "it may lie anywhere")
			assert.True(t, c.Within(orb.Point{10, 10}, 1))
			_, found := c.SpotOf(context.Background(), orb.Point{-83.5, 36.5})
			assert.False(t, found)
			_, _, km := c.Nearest(orb.Point{10, 10})
			assert.True(t, math.IsInf(km, 1), km)
		})
		assert.Equal(t, len(rim), len(entries[0].Rim), "the caller's entries stay")
	}
	assert.Empty(t, CatalogueOf([]Entry{{Rim: whole, CellM: [2]float64{10, 10}}}, Options{}, nil).Near(orb.MultiPolygon{{{{10, 10}}}}))
}

// A panic while headers are read, or a server is asked, ended the caller's process.
func TestAPanicBesideIsTheCallers(t *testing.T) {
	broken := errors.New("broken")
	handed := func(work func()) (err error) {
		defer func() { err, _ = recover().(*beside.Panic) }()
		work()
		return nil
	}
	assert.ErrorIs(t, handed(func() {
		inParallel(context.Background(), 8, Options{}, func(*headers, int) { panic(broken) })
	}), broken)
	assert.ErrorIs(t, handed(func() { _ = new(request).wait(context.Background(), func() error { panic(broken) }) }), broken)
}
