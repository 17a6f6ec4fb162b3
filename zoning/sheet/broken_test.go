package sheet

import (
	"io"
	"iter"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
)

func smallScene() scene {
	return scene{cols: 24, rows: 20, cell: 10, height: hills, fleet: threeMachines(), lots: []zoning.Parcel{box("A", -80, -60, 70, 60)}}
}

// Maps, grids and views made by hand panicked on the sheet, some in goroutines that no
// caller can recover.
func TestWhatCannotBeDrawnIsRefused(t *testing.T) {
	g, good := smallScene().mapped(t)
	view := View{Plane: Plane{LonM: 111320, LatM: 110574}, MetresPerDot: 2, Width: 40, Height: 30}
	lots := func(yield func(OverviewLot, error) bool) {}
	entries := map[string]func(zm *zoning.ZoneMap) error{
		"Table":     func(zm *zoning.ZoneMap) error { return Table(io.Discard, zm) },
		"Zones":     func(zm *zoning.ZoneMap) error { return Zones(io.Discard, zm) },
		"Remarks":   func(zm *zoning.ZoneMap) error { return Remarks(io.Discard, zm) },
		"Picture":   func(zm *zoning.ZoneMap) error { return Picture(io.Discard, g, zm) },
		"Paint":     func(zm *zoning.ZoneMap) error { return NewPainter(g).Paint(io.Discard, zm, view, AllBands) },
		"WriteHTML": func(zm *zoning.ZoneMap) error { return (&Page{Map: zm, Grid: g}).WriteHTML(io.Discard) },
		"WritePDF":  func(zm *zoning.ZoneMap) error { return (&Page{Map: zm, Grid: g}).WritePDF(io.Discard) },
		"WritePNG":  func(zm *zoning.ZoneMap) error { return (&Page{Map: zm, Grid: g}).WritePNG(io.Discard) },
		"Overview": func(zm *zoning.ZoneMap) error {
			return NewOverview(good.Fleet).WriteHTML(io.Discard, Run{Sum: zm}, lots)
		},
	}
	changed := func(change func(zm *zoning.ZoneMap)) *zoning.ZoneMap {
		zm := *good
		zm.Lots = append([]zoning.LotMap{}, good.Lots...)
		zm.Lots[0].Zones = append([]zoning.Zone{}, good.Lots[0].Zones...)
		change(&zm)
		return &zm
	}
	broken := map[string]*zoning.ZoneMap{
		"none":          nil,
		"strange band":  changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Band = 8 }),
		"band below 0":  changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Band = -1 }),
		"no number":     changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Ground = orb.MultiPolygon{{{{math.NaN(), 0}}}} }),
		"endless":       changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Zones[0].Ground = orb.MultiPolygon{{{{0, math.Inf(1)}}}} }),
		"many machines": changed(func(zm *zoning.ZoneMap) { zm.Fleet = make(zoning.Fleet, 300) }),
		"no drawn":      changed(func(zm *zoning.ZoneMap) { zm.Drawn = zoning.Fleet{} }),
		"pocket":        changed(func(zm *zoning.ZoneMap) { zm.Access.Pockets = []zoning.Pocket{{Machine: -1}} }),
	}
	for name, write := range entries {
		assert.NotPanics(t, func() { assert.NoError(t, write(good), name) }, name)
		for what, zm := range broken {
			assert.NotPanics(t, func() { assert.Error(t, write(zm), "%s of %s", name, what) }, "%s of %s", name, what)
		}
		if name != "Overview" {
			bare := changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Coverage = nil })
			assert.NotPanics(t, func() { assert.NoError(t, write(bare), "%s of a lot without a coverage", name) }, name)
			bare = changed(func(zm *zoning.ZoneMap) { zm.Lots[0].Coverage = &coverage.Coverage{} })
			assert.NotPanics(t, func() { assert.NoError(t, write(bare), "%s of an empty coverage", name) }, name)
		}
	}
	assert.Empty(t, Facts(broken["strange band"]))
	assert.Equal(t, "0 lots", Name(nil))
	for _, f := range []*terrain.Frame{nil, {}} {
		_, _, _, ok := PlaneOf(f, good)
		assert.False(t, ok)
	}
	_, _, _, ok := PlaneOf(g.Frame, nil)
	assert.False(t, ok)
}

func TestNoSheetOfABrokenGrid(t *testing.T) {
	g, zm := smallScene().mapped(t)
	short, bare := *g, *g
	short.Z, bare.Frame = short.Z[:7], nil
	view := View{Plane: Plane{LonM: 111320, LatM: 110574}, MetresPerDot: 2, Width: 40, Height: 30}
	for _, g := range []*terrain.Grid{nil, {}, &short, &bare} {
		assert.NotPanics(t, func() {
			assert.Error(t, Picture(io.Discard, g, zm))
			assert.Error(t, (&Page{Map: zm, Grid: g}).WritePDF(io.Discard))
			assert.Error(t, NewPainter(g).Paint(io.Discard, zm, view, AllBands))
			assert.Error(t, PaintRelief(io.Discard, view, []*Painter{NewPainter(g)}))
		})
	}
	assert.Error(t, PaintRelief(io.Discard, view, []*Painter{nil}))
	assert.Error(t, (*Page)(nil).WritePNG(io.Discard))
	assert.ErrorContains(t, (&Page{Map: zm, Grid: g, Features: []site.Feature{{Kind: site.Travel, Name: "lane"}}}).WriteHTML(io.Discard), "has no geometry")
}

func TestNoPictureOfABrokenView(t *testing.T) {
	g, zm := smallScene().mapped(t)
	good := View{Plane: Plane{LonM: 111320, LatM: 110574}, MetresPerDot: 2, Width: 40, Height: 30}
	for says, change := range map[string]func(v *View){
		"-1 × 30 dots":         func(v *View) { v.Width = -1 },
		"40 × 0 dots":          func(v *View) { v.Height = 0 },
		"32768 × 32768 dots":   func(v *View) { v.Width, v.Height = 1<<15, 1<<15 },
		"MetresPerDot is NaN":  func(v *View) { v.MetresPerDot = math.NaN() },
		"MetresPerDot is 0":    func(v *View) { v.MetresPerDot = 0 },
		"MetresPerDot is +Inf": func(v *View) { v.MetresPerDot = math.Inf(1) },
		"LonM is 0":            func(v *View) { v.LonM = 0 },
		"Lat is NaN":           func(v *View) { v.Lat = math.NaN() },
		"XM is -Inf":           func(v *View) { v.XM = math.Inf(-1) },
	} {
		v := good
		change(&v)
		assert.NotPanics(t, func() {
			assert.ErrorContains(t, NewPainter(g).Paint(io.Discard, zm, v, AllBands), says)
			assert.ErrorContains(t, PaintRelief(io.Discard, v, nil), says)
		}, says)
	}
	for _, s := range [][4]int{{-1, 3, 9, 9}, {8, 3, 9, 9}, {0, 15, 9, 9}, {0, -1, 9, 9}, {0, 3, 0, 9}, {0, 3, 9, -2}} {
		assert.Error(t, Swatch(io.Discard, s[0], s[1], s[2], s[3]), s)
	}
	assert.NoError(t, Swatch(io.Discard, 7, 3, 9, 9))
}

func TestNoOverviewOfStrangeLots(t *testing.T) {
	_, zm := smallScene().mapped(t)
	strange := OverviewLot{LotMap: zoning.LotMap{Lot: "B", Zones: []zoning.Zone{{Band: 9}}}, Outline: outlinesOf(zm)[0]}
	o := NewOverview(zm.Fleet)
	assert.ErrorContains(t, o.Add(strange), "zone of band 9")
	lot := OverviewLot{LotMap: zm.Lots[0], Outline: outlinesOf(zm)[0]}
	assert.NoError(t, o.Add(lot))
	var of iter.Seq2[OverviewLot, error] = func(yield func(OverviewLot, error) bool) { yield(strange, nil) }
	assert.ErrorContains(t, o.WriteHTML(io.Discard, Run{Sum: zm}, of), "zone of band 9")
	assert.ErrorContains(t, o.WriteHTML(io.Discard, Run{Sum: zm}, nil), "no lots to be drawn")
	assert.ErrorContains(t, o.WriteHTML(io.Discard, Run{Sum: zm, Paper: "napkin"}, of), "napkin")
}

// A panic in a share of the rows ended the caller's process.
func TestAPanicInRowsIsTheCallers(t *testing.T) {
	assert.Panics(t, func() { inRows(5*block, func(int, int) { panic("broken") }) })
}
