// Package site_test maps the site in this folder as the command does, and asks of each
// rule whether it changes the map as the README says. Places are in metres east and
// north of the elevation's south-west corner, as in make.
package site_test

import (
	"context"
	"slices"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// Machines, in the order of the built-in fleet.
const (
	loader = iota
	carrier
	boom
	crawler
)

const ft = zoning.MetresPerFoot

var prepared = sync.OnceValues(func() (*mapping.Ground, error) {
	q := read.Request{Elevation: []string{"elevation.tif"}, Parcel: "boundary.geojson"}
	q.Site, q.Staging, q.Travel = []string{"site.geojson"}, []string{"staging.geojson"}, []string{"travel.geojson"}
	return read.Prepare(context.Background(), q)
})

// job is the site and the fleet, to be changed before it is mapped.
type job struct {
	*mapping.Ground
	fleet []zoning.Machine
	mapping.Options
}

func everything(t *testing.T) *job {
	t.Helper()
	g, err := prepared()
	require.NoError(t, err)
	return &job{Ground: g, fleet: fleet.Default()}
}

// draw puts features on the job's ground instead of those there.
func (j *job) draw(t *testing.T, features []site.Feature) {
	t.Helper()
	g, err := j.With(features)
	require.NoError(t, err)
	j.Ground = g
}

// without is a job without some of what is drawn.
func without(t *testing.T, drop func(f site.Feature) bool) *job {
	t.Helper()
	j := everything(t)
	j.draw(t, slices.DeleteFunc(slices.Clone(j.Features), drop))
	return j
}

func kind(kinds ...site.Kind) func(site.Feature) bool {
	return func(f site.Feature) bool { return slices.Contains(kinds, f.Kind) }
}

func named(name string) func(site.Feature) bool {
	return func(f site.Feature) bool { return f.Name == name }
}

// with is a job with something drawn on it besides, a box.
func with(t *testing.T, f site.Feature, west, south, east, north float64) *job {
	t.Helper()
	j := everything(t)
	f.Geometry = orb.Polygon{{j.spot(west, south), j.spot(east, south), j.spot(east, north), j.spot(west, north), j.spot(west, south)}}
	j.draw(t, append(slices.Clone(j.Features), f))
	return j
}

// spot is a place in degrees.
func (j *job) spot(x, y float64) orb.Point {
	lon, lat := j.Elevation.Grid.Frame.LonLat(x, 400-y) // 400 rows of 1 m
	return orb.Point{lon, lat}
}

var all = sync.OnceValues(func() (*zoning.ZoneMap, error) {
	g, err := prepared()
	if err != nil {
		return nil, err
	}
	return mapping.Map(context.Background(), g, fleet.Default(), mapping.Options{})
})

// base is the map of the whole site.
func base(t *testing.T) mapped {
	t.Helper()
	m, err := all()
	require.NoError(t, err)
	return mapped{m}
}

// mapped is a map, to be asked for places.
type mapped struct{ *zoning.ZoneMap }

func (j *job) mapped(t *testing.T) mapped {
	t.Helper()
	m, err := mapping.Map(t.Context(), j.Ground, j.fleet, j.Options)
	require.NoError(t, err)
	require.Len(t, m.Lots, 1)
	return mapped{m}
}

func (m mapped) cell(x, y int) int {
	return (400-1-y-m.Cells.Row0)*m.Cells.Cols + x - m.Cells.Col0
}

// band is the key of the band at a place.
func (m mapped) band(x, y int) string {
	return m.Fleet.Bands()[m.Fleet.Band(m.Cells.Masks[m.cell(x, y)])].Key
}

// why is what keeps a machine off a place.
func (m mapped) why(machine, x, y int) zoning.Why { return m.Cells.Lost[machine][m.cell(x, y)] }

func (m mapped) zone(key string) zoning.Zone {
	for _, z := range m.Lots[0].Zones {
		if m.Fleet.Bands()[z.Band].Key == key {
			return z
		}
	}
	return zoning.Zone{Crossings: -1}
}

func (m mapped) acres(key string) float64 { return m.zone(key).Acres }

// lost is the acres that a machine does not work for a reason.
func (m mapped) lost(machine int, why zoning.Why) float64 {
	return m.ZoneMap.LostAcres()[machine][why]
}

// works is the acres that a machine may work, whichever machine they go to.
func (m mapped) works(machine int) float64 {
	var may, all float64
	m.Lots[0].Coverage.EachCell(func(col, row int, share float64) {
		all += share
		if mask := m.Cells.Masks[row*m.Cells.Cols+col]; mask&(zoning.NoGo|zoning.Unknown) == 0 && mask>>machine&1 != 0 {
			may += share
		}
	})
	return m.Lots[0].Acres * may / all
}

func (m mapped) hazards(kind zoning.HazardKind) []zoning.Hazard {
	var out []zoning.Hazard
	for _, h := range m.Hazards {
		if h.Kind == kind {
			out = append(out, h)
		}
	}
	return out
}

// metres takes a place in degrees to metres east and north of the corner.
func (j *job) metres(p orb.Point) (x, y float64) {
	c, r := j.Elevation.Grid.Frame.Cell(p[0], p[1])
	return c, 400 - r
}
