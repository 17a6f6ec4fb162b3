package write_test

import (
	"io"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/write"
)

// brokenMaps are maps that no writer can use, each with what its error says.
func brokenMaps(t *testing.T) map[string]struct {
	zm   *zoning.ZoneMap
	says string
} {
	good := newMap(t).zm
	changed := func(change func(zm *zoning.ZoneMap)) *zoning.ZoneMap {
		zm := *good
		zm.Lots = append([]zoning.LotMap{}, good.Lots...)
		zm.Lots[0].Zones = append([]zoning.Zone{}, good.Lots[0].Zones...)
		change(&zm)
		return &zm
	}
	return map[string]struct {
		zm   *zoning.ZoneMap
		says string
	}{
		"none":          {nil, "there is no zone map"},
		"strange band":  {changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Band = 99 }), "zone of band 99"},
		"band below 0":  {changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Band = -1 }), "zone of band -1"},
		"many machines": {changed(func(zm *zoning.ZoneMap) { zm.Fleet = make([]zoning.Machine, 20) }), "20 machines; at most 14"},
		"no number":     {changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Ground = orb.MultiPolygon{{{{math.NaN(), 0}}}} }), "no longitude and latitude"},
		"endless":       {changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Ground = orb.MultiPolygon{{{{math.Inf(1), 0}}}} }), "no longitude and latitude"},
		"others' acres": {changed(func(zm *zoning.ZoneMap) { zm.Otherwise = []float64{1} }), "acres of 1 bands"},
		"others' cause": {changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].LostAcres = make([][]float64, 9) }), "9 machines do not work"},
		"sources":       {changed(func(zm *zoning.ZoneMap) { zm.SourceAcres = []float64{1} }), "from 1 sources"},
		"pocket":        {changed(func(zm *zoning.ZoneMap) { zm.Access.Pockets = []zoning.Pocket{{Machine: 7}} }), "for machine 8"},
		"staging":       {changed(func(zm *zoning.ZoneMap) { zm.Access.Staging = []orb.Point{{math.NaN(), 1}} }), "trailers unload at"},
	}
}

// writers are the entries that take a map, by name.
func writers(t *testing.T) map[string]func(zm *zoning.ZoneMap) error {
	m := newMap(t)
	to := func(write func(io.Writer, *zoning.ZoneMap) error) func(*zoning.ZoneMap) error {
		return func(zm *zoning.ZoneMap) error { return write(io.Discard, zm) }
	}
	withSpots := func(write func(io.Writer, *zoning.ZoneMap, []write.Spot) error) func(*zoning.ZoneMap) error {
		return func(zm *zoning.ZoneMap) error { return write(io.Discard, zm, nil) }
	}
	layer := func(of func(*zoning.ZoneMap) (write.Layer, error)) func(*zoning.ZoneMap) error {
		return func(zm *zoning.ZoneMap) error { _, err := of(zm); return err }
	}
	return map[string]func(zm *zoning.ZoneMap) error{
		"GeoJSON": to(write.GeoJSON), "Features": to(write.Features), "HazardFeatures": to(write.HazardFeatures),
		"ZonesCSV": to(write.ZonesCSV), "LotsCSV": to(write.LotsCSV), "SLD": to(write.SLD), "BandNames": to(write.BandNames),
		"GPX": withSpots(write.GPX), "KML": withSpots(write.KML), "KMZ": withSpots(write.KMZ),
		"Zones": layer(write.Zones), "Lots": layer(write.Lots), "Hazards": layer(write.Hazards),
		"BandCells":  func(zm *zoning.ZoneMap) error { _, err := write.BandCells(zm, m.cells); return err },
		"SlopeCells": func(zm *zoning.ZoneMap) error { _, err := write.SlopeCells(zm, m.field); return err },
		"Collection": func(zm *zoning.ZoneMap) error { return write.NewCollection(m.zm.Fleet).Add(zm) },
	}
}

// Maps made by hand panicked in every writer: a band that the fleet lacks, no map at all.
func TestBrokenMapsAreRefused(t *testing.T) {
	broken := brokenMaps(t)
	for name, write := range writers(t) {
		assert.NoError(t, write(newMap(t).zm), "%s of a map that is whole", name)
		for what, b := range broken {
			assert.NotPanics(t, func() { assert.ErrorContains(t, write(b.zm), b.says, "%s of %s", name, what) }, "%s of %s", name, what)
		}
	}
	assert.Empty(t, write.Remarks(nil))
	assert.ErrorContains(t, write.NewCollection(nil).Add(newMap(t).zm), "3 machines")
}

// Writers of the line round a lot took it from a coverage that was nil.
func TestLotsWithoutACoverage(t *testing.T) {
	outlined := map[string]bool{"GPX": true, "KML": true, "KMZ": true, "Lots": true, "BandCells": true, "SlopeCells": true}
	for name, write := range writers(t) {
		zm := newMap(t).zm
		zm.Lots[1].Coverage = nil
		assert.NotPanics(t, func() {
			if err := write(zm); outlined[name] {
				assert.ErrorContains(t, err, "it has no coverage", name)
			} else {
				assert.NoError(t, err, name)
			}
			zm.Lots[1].Coverage = &coverage.Coverage{}
			assert.NoError(t, write(zm), "%s of an empty coverage", name)
		}, name)
	}
}

func TestBrokenCellsAreRefused(t *testing.T) {
	m := newMap(t)
	_, err := write.BandCells(m.zm, nil)
	assert.ErrorContains(t, err, "there are no cells")
	short := *m.cells
	short.Masks = short.Masks[:5]
	_, err = write.BandCells(m.zm, &short)
	assert.Error(t, err)
	_, err = write.SlopeCells(m.zm, nil)
	assert.ErrorContains(t, err, "there are no slopes")
	_, err = write.SlopeCells(m.zm, &slope.Field{Cols: 3, Rows: 2})
	assert.Error(t, err)
}
