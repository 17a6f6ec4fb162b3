package progress

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

var machines = []zoning.Machine{{Key: "loader", Name: "Loader", LimitPct: 30}, {Key: "crawler", Name: "Crawler", LimitPct: 70}}

// jobOf is 150 × 120 m whose west third slopes 20%, the middle 50%, the east 90%, in
// two lots, one above the other, that lie in by 10 m.
func jobOf(t testing.TB) (Map, window) {
	t.Helper()
	z := make([]float32, 150*120)
	for i := range z {
		x := float64(i%150) + 0.5
		z[i] = float32(0.2*x + 0.3*max(x-50, 0) + 0.4*max(x-100, 0))
	}
	g, err := terrain.NewGrid(z, 150, 120, 1, 1)
	require.NoError(t, err)
	field := must(slope.Of(g))
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, len(z)), Cols: 150, Rows: 120, Frame: g.Frame}}
	trafficability.Stand(field, machines, cells.Masks)
	m, w := Map{Cells: cells, Fleet: machines}, window{cells}
	for _, l := range []struct {
		name         string
		north, south float64
	}{{"A", 10.4, 60}, {"B", 60, 110.2}} {
		ring := orb.Ring(places(w, [2]float64{10.3, l.south}, [2]float64{140, l.south}, [2]float64{140, l.north}, [2]float64{10.3, l.north}, [2]float64{10.3, l.south}))
		lot, err := zoning.MapLot(cells, field, machines, nil, zoning.Parcel{Lot: l.name, Ground: orb.MultiPolygon{{ring}}})
		require.NoError(t, err)
		m.Lots = append(m.Lots, lot)
	}
	return m, w
}

func box(w window, x0, y0, x1, y1 float64) orb.MultiPolygon {
	return orb.MultiPolygon{{places(w, [2]float64{x0, y1}, [2]float64{x1, y1}, [2]float64{x1, y0}, [2]float64{x0, y0}, [2]float64{x0, y1})}}
}

func zoneOf(t testing.TB, r *Report, lot, band string) Zone {
	for _, z := range r.Zones {
		if z.Lot == lot && z.Band == band {
			return z
		}
	}
	require.Fail(t, "no zone", "%s %s", lot, band)
	return Zone{}
}

const acre = 4046.8564224 // m², exact

func TestTally(t *testing.T) {
	m, w := jobOf(t)
	m.Covers = []string{"light", "heavy"}
	m.Cover = make([]uint8, 150*120)
	for i := range m.Cover {
		if i%150 >= 60 {
			m.Cover[i] = 1
		}
	}
	r, err := Tally(m, []Worked{
		// The second day comes first in the file and overlaps the first.
		{Line: 2, Day: "2026-05-05", Machine: "loader", Ground: box(w, 20, 20, 50, 50), Hours: 2},
		{Line: 1, Day: "2026-05-04", Machine: "loader", Ground: box(w, 20, 20, 40, 60), Hours: 1},
		{Line: 3, Day: "2026-05-05", Machine: "crawler", Ground: box(w, 60, 50, 90, 70)},
		{Line: 4, Day: "2026-05-05", Machine: "crawler", Ground: box(w, 95, 60, 105, 70)},
	}, []Hours{{1, "2026-05-04", "loader", 4}, {2, "2026-05-05", "crawler", 3}, {3, "2026-05-05", "crawler", 2}},
		[]Rate{{"loader", "", 0.1}, {"crawler", "heavy", 0.05}})
	require.NoError(t, err)

	require.Len(t, r.Shifts, 3)
	a, b, c := r.Shifts[0], r.Shifts[1], r.Shifts[2]
	assert.Equal(t, []any{"2026-05-04", "loader", 4.0, "light"}, []any{a.Day, a.Machine, a.Hours, a.Cover}, "the table of hours goes first")
	assert.Equal(t, []any{"2026-05-05", "loader", 2.0}, []any{b.Day, b.Machine, b.Hours})
	assert.Equal(t, []any{"2026-05-05", "crawler", 5.0, "heavy"}, []any{c.Day, c.Machine, c.Hours, c.Cover})
	assert.InDelta(t, 20*40/acre, a.Acres, 1e-5)
	assert.InDelta(t, (30*30-20*30)/acre, b.Acres, 1e-5, "what the first day did is not done again")
	assert.InDelta(t, (30*20+10*10)/acre, c.Acres, 1e-5)
	// Three columns of cells straddle each change of slope.
	assert.InDelta(t, 5*10/acre, c.OverAcres, 10/acre, "the crawler's limit is 70%")

	assert.InDelta(t, 20*40/acre+10*30/acre, zoneOf(t, r, "A", "loader").DoneAcres, 31/acre)
	assert.InDelta(t, 30*10/acre, zoneOf(t, r, "A", "crawler").DoneAcres, 1e-5)
	assert.InDelta(t, 30*10/acre+5*10/acre, zoneOf(t, r, "B", "crawler").DoneAcres, 10/acre)
	assert.InDelta(t, 5*10/acre, zoneOf(t, r, "B", "no-machine").DoneAcres, 10/acre)
	done, whole := 0.0, 0.0
	for _, z := range r.Zones {
		done += z.DoneAcres
		whole += z.DoneAcres + z.LeftAcres()
		assert.InDelta(t, z.DoneAcres, z.ByMachine[0]+z.ByMachine[1], 1e-12)
	}
	assert.InDelta(t, a.Acres+b.Acres+c.Acres, done, 1e-12)
	assert.InDelta(t, m.Lots[0].Acres+m.Lots[1].Acres, whole, 1e-9)
	assert.InDelta(t, 0, r.OutsideAcres, 1e-5)

	require.Len(t, r.Paces, 4, "loader in all and light, crawler in all and heavy")
	assert.Equal(t, "loader", r.Paces[0].Machine)
	assert.InDelta(t, (a.Acres+b.Acres)/6, r.Paces[0].PerHour(), 1e-12)
	assert.Equal(t, 0.1, r.Paces[0].PlannedPerHour)
	assert.Equal(t, "heavy", r.Paces[3].Cover)
	assert.Equal(t, 0.05, r.Paces[3].PlannedPerHour)
	require.Len(t, r.Left, 2)
	left := zoneOf(t, r, "A", "loader").LeftAcres() + zoneOf(t, r, "B", "loader").LeftAcres()
	assert.InDelta(t, left, r.Left[0].Acres, 1e-12)
	assert.InDelta(t, left/r.Paces[0].PerHour(), r.Left[0].Hours, 1e-9)
	assert.InDelta(t, r.Left[0].Hours/3, r.Left[0].Days, 1e-9, "6 hours on 2 days")
	assert.Contains(t, r.Warnings[0], "crawler worked 0.01 acres that the map does not give it")
}

func TestTallyTracksAndOutside(t *testing.T) {
	m, w := jobOf(t)
	r, err := Tally(m, []Worked{{
		Line: 1, Day: "2026-05-04", Machine: "loader", CutWidthM: 4, Hours: 1.5, Recorded: true,
		Tracks: orb.MultiLineString{places(w, [2]float64{0, 30}, [2]float64{45, 30}), places(w, [2]float64{30, 80}, [2]float64{45, 80})},
	}}, nil, nil)
	require.NoError(t, err)
	assert.InEpsilon(t, (45+15)*4+3.1416*4, (r.Shifts[0].Acres+r.OutsideAcres)*acre, 0.05)
	assert.InDelta(t, 10.3*4/acre, r.OutsideAcres, 4/acre)
	assert.Contains(t, r.Warnings[0], "its hours are the time its track recorded")
	text, err := json.Marshal(r.Warnings)
	require.NoError(t, err)
	assert.NotContains(t, string(text), "outside every lot", "a hundredth of an acre is the edge of a swath")
}

func TestTallyWarnsAndRefuses(t *testing.T) {
	m, w := jobOf(t)
	r, err := Tally(m, []Worked{
		{Line: 1, Day: "2026-05-04", Machine: "loader", Ground: orb.MultiPolygon{{{{50, 50}, {51, 50}, {51, 51}, {50, 50}}}}},
		{Line: 2, Day: "2026-05-04", Machine: "loader", CutWidthM: 1.5, Tracks: orb.MultiLineString{places(w, [2]float64{20, 20}, [2]float64{40, 20})}},
	}, nil, []Rate{{"crawler", "", 0.5}})
	require.NoError(t, err)
	require.Len(t, r.Warnings, 3)
	assert.Contains(t, r.Warnings[0], "2026-05-04, loader (line 1): covers no cell of the map")
	assert.Contains(t, r.Warnings[1], "cells of 1.0 m are coarse for a cut of 1.5 m")
	assert.Contains(t, r.Warnings[2], "no hours: its 0.01 acres are in no rate")
	assert.True(t, r.Left[1].Planned)
	assert.InDelta(t, r.Left[1].Acres/0.5, r.Left[1].Hours, 1e-12)

	_, err = Tally(m, []Worked{{Line: 7, Day: "2026-05-04", Machine: "mower"}}, nil, nil)
	assert.EqualError(t, err, `line 7: machine "mower" is not in the fleet; use one of loader, crawler`)
	_, err = Tally(m, []Worked{{Line: 7, Day: "2026-05-04", Machine: "loader", Tracks: orb.MultiLineString{{}}}}, nil, nil)
	assert.ErrorContains(t, err, "line 7: the track of loader on 2026-05-04 has a cutting width of 0 ft; give that of its head")
	m.Cover = []uint8{1}
	_, err = Tally(m, nil, nil, nil)
	assert.ErrorContains(t, err, "the cover is of another size")
}

func TestReportFiles(t *testing.T) {
	m, w := jobOf(t)
	r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Ground: box(w, 20, 20, 40, 60), Hours: 4}}, nil, []Rate{{"loader", "", 0.1}})
	require.NoError(t, err)
	var text, table, j, again bytes.Buffer
	require.NoError(t, r.WriteText(&text))
	require.NoError(t, r.WriteCSV(&table))
	require.NoError(t, r.WriteJSON(&j))
	require.NoError(t, r.WriteJSON(&again))
	assert.Equal(t, j.String(), again.String())
	assert.Contains(t, text.String(), "done: 0.20 of 3.20 acres\n")
	assert.Regexp(t, `(?m)^loader        all     0.20    4.0           0.05     0.10      49%$`, text.String())
	assert.Equal(t, "date,machine,acres,hours,acres_per_hour,acres_not_its_own,cover\n2026-05-04,loader,0.1977,4.0000,0.0494,0.0000,\n", table.String())
	var out map[string]any
	require.NoError(t, json.Unmarshal(j.Bytes(), &out))
	assert.InDelta(t, 800/acre, out["done_acres"], 1e-5)
	assert.Equal(t, "0.05ac/h", out["rates"].([]any)[0].(map[string]any)["fleet_rate"])
}
