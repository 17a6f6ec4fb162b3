package sheet

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// threeMachines is a fleet at the slopes a default fleet has.
func threeMachines() []zoning.Machine {
	return []zoning.Machine{
		{Key: "track-loader", Name: "Track loader", LimitPct: 30, Caution: "Travel straight up and down."},
		{Key: "boom-head", Name: "Boom-mounted head", LimitPct: 40, ProcedureAbovePct: 35},
		{Key: "remote-crawler", Name: "Remote crawler", LimitPct: 100, ProcedureAbovePct: 60, TetherAbovePct: 60, TetherBasis: "manual"},
	}
}

func manyMachines(n int) []zoning.Machine {
	fleet := make([]zoning.Machine, n)
	for i := range fleet {
		limit := float64(8 + 7*i)
		fleet[i] = zoning.Machine{Key: fmt.Sprintf("machine-%d", i+1), Name: fmt.Sprintf("Machine number %d", i+1), LimitPct: limit}
		if i%2 == 1 {
			fleet[i].ProcedureAbovePct = limit - 4
		}
		if i%4 == 3 {
			fleet[i].TetherAbovePct = limit - 3
			fleet[i].TetherBasis = "manual"
		}
	}
	fleet[2].Name = "A machine of a very long name that no legend has room for"
	return fleet
}

// scene is ground made up for a test, and the lots on it.
type scene struct {
	cols, rows int
	cell       float64                    // metres
	height     func(x, y float64) float64 // x east, y north of the middle, metres
	fleet      []zoning.Machine
	lots       []zoning.Parcel
}

// degreeM is a degree of the equator in metres (WGS84); one of latitude is 0.67%
// shorter there, which these scenes do not mind.
const degreeM = 6378137 * math.Pi / 180

// lot is a parcel with corners in metres east and north of the middle.
func lot(name string, corners ...[2]float64) zoning.Parcel {
	var ring orb.Ring
	for _, c := range corners {
		ring = append(ring, orb.Point{c[0] / degreeM, c[1] / degreeM})
	}
	return zoning.Parcel{Lot: name, Ground: orb.MultiPolygon{{append(ring, ring[0])}}}
}

func box(name string, west, south, east, north float64) zoning.Parcel {
	return lot(name, [2]float64{west, south}, [2]float64{east, south}, [2]float64{east, north}, [2]float64{west, north})
}

// ring is a lot of n corners around a middle, not round.
func ring(name string, x, y, radius float64, n int) zoning.Parcel {
	var corners [][2]float64
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := radius * (1 + 0.18*math.Sin(3*a+1) + 0.08*math.Cos(5*a))
		corners = append(corners, [2]float64{x + r*math.Cos(a), y + r*math.Sin(a)})
	}
	return lot(name, corners...)
}

func (s scene) grid(t testing.TB) *terrain.Grid {
	z := make([]float32, s.cols*s.rows)
	for r := range s.rows {
		for c := range s.cols {
			x, y := (float64(c)+0.5-float64(s.cols)/2)*s.cell, (float64(s.rows)/2-float64(r)-0.5)*s.cell
			z[r*s.cols+c] = float32(s.height(x, y))
		}
	}
	g, err := terrain.NewGrid(z, s.cols, s.rows, s.cell, s.cell)
	require.NoError(t, err)
	return g
}

// mapped runs the real line from heights to a zone map.
func (s scene) mapped(t testing.TB) (*terrain.Grid, *zoning.ZoneMap) {
	g := s.grid(t)
	return g, mapOn(t, g, s.fleet, s.lots, terrain.Source{Path: "made.tif", CellM: [2]float64{s.cell, s.cell},
		Unit: "m", UnitM: 1, UnitFrom: "band unit"})
}

func mapOn(t testing.TB, g *terrain.Grid, fleet []zoning.Machine, lots []zoning.Parcel, src terrain.Source) *zoning.ZoneMap {
	field := must(slope.Of(g))
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows,
		Col0: g.Col0, Row0: g.Row0, Frame: g.Frame}}
	trafficability.Stand(field, fleet, cells.Masks)
	zm := &zoning.ZoneMap{Fleet: fleet, Sources: []terrain.Source{src}, Cautions: zoning.Cautions(measure.US)}
	for _, p := range lots {
		m, err := zoning.MapLot(cells, field, fleet, nil, p)
		require.NoError(t, err)
		zm.Lots = append(zm.Lots, m)
	}
	return zm
}

// drawn returns the picture, decoded from its PNG.
func drawn(t testing.TB, g *terrain.Grid, zm *zoning.ZoneMap) (image.Image, []byte) {
	var b bytes.Buffer
	require.NoError(t, Picture(&b, g, zm))
	img, err := png.Decode(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	return img, b.Bytes()
}

// hills is rolling ground with a steep side, with a little roughness.
func hills(x, y float64) float64 {
	d := math.Hypot(x+60, y-40)
	return 75*math.Exp(-d*d/2/130/130) + 25*math.Sin(x/90)*math.Cos(y/70) + 0.15*math.Sin(x/3)*math.Sin(y/2.3) + 0.1*x
}

func scenes() map[string]scene {
	nan := math.NaN()
	return map[string]scene{
		"gentle": {600, 600, 1, func(x, y float64) float64 { return hills(x, y) * 0.35 }, threeMachines(),
			[]zoning.Parcel{ring("Tarn Hollow", 0, 0, 230, 14)}},
		"hills": {600, 600, 1, hills, threeMachines(), []zoning.Parcel{ring("Tarn Hollow", 0, 0, 230, 14)}},
		"ridge": {300, 220, 3, func(x, y float64) float64 {
			return 160*math.Exp(-math.Abs(y-0.3*x)/180) + 12*math.Sin(x/40) + 5*math.Cos((x+y)/25)
		}, threeMachines(), []zoning.Parcel{lot("Long Ridge and the hollow behind it", [2]float64{-380, -240}, [2]float64{300, -260}, [2]float64{400, 120}, [2]float64{100, 270}, [2]float64{-360, 180})}},
		"voids": {120, 120, 5, func(x, y float64) float64 {
			if math.Hypot(x-80, y+50) < 60 || x < -180 && y > 60 {
				return nan
			}
			return hills(x, y)
		}, threeMachines(), []zoning.Parcel{ring("Gap Farm", 0, 0, 220, 9)}},
		"thin": {900, 120, 1, hills, threeMachines(), []zoning.Parcel{box("Strip", -420, -20, 420, 22)}},
		"tall": {120, 900, 1, hills, threeMachines(), []zoning.Parcel{box("Strip", -20, -420, 22, 420)}},
		"lots": {600, 600, 1, hills, threeMachines(), func() (all []zoning.Parcel) {
			for i := range 30 {
				x, y := float64(i%6)*80-240, float64(i/6)*90-225
				all = append(all, box(fmt.Sprintf("Lot %d", i+1), x, y, x+76, y+80))
			}
			return all
		}()},
		"fourteen":      {500, 400, 1, hills, manyMachines(14), []zoning.Parcel{ring("Many hands", 0, 0, 170, 11)}},
		"fourteen-wide": {800, 400, 1, hills, manyMachines(14), []zoning.Parcel{box("Many hands", -380, -150, 380, 160)}},
		"tiny":          {60, 60, 1, hills, threeMachines(), []zoning.Parcel{box("Corner", -10, -10, 10, 10)}},
		"void-only":     {40, 40, 10, func(x, y float64) float64 { return nan }, threeMachines(), []zoning.Parcel{box("Dark", -100, -100, 100, 100)}},
		"one-cell":      {1, 1, 100, hills, threeMachines(), []zoning.Parcel{box("Cell", -40, -40, 40, 40)}},
		"huge":          {1000, 900, 90, func(x, y float64) float64 { return 20 * hills(x/100, y/100) }, threeMachines(), []zoning.Parcel{ring("Great Tract", 0, 0, 30000, 40)}},
	}
}
