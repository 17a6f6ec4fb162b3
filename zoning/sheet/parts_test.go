package sheet

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// farParts is a job of one lot in two parts about two kilometers apart, the western one
// larger, with dangers and checks in both.
func farParts(t testing.TB) *Page {
	west, east := ring("Cedar Fork", -1000, -40, 150, 14), ring("Cedar Fork", 1000, 60, 90, 9)
	west.Ground = append(west.Ground, east.Ground...)
	s := scene{cols: 2400, rows: 460, cell: 1, fleet: threeMachines(), lots: []zoning.Parcel{west}, height: func(x, y float64) float64 {
		return 0.25*y + 18*math.Sin(x/45)*math.Cos(y/60)
	}}
	g := s.grid(t)
	zm := &zoning.ZoneMap{
		Fleet: s.fleet, Ground: zoning.Dry, Cautions: zoning.Cautions(measure.US),
		Sources: []terrain.Source{{Path: "made.tif", CellM: [2]float64{1, 1}, Unit: "m", UnitM: 1, UnitFrom: "band unit"}},
		Error:   zoning.ElevationError{SigmaM: 0.1, From: "lidar-ql2"},
		Access:  zoning.Access{Checked: true, Staging: []orb.Point{degrees(-1000, -200)}},
		Hazards: []zoning.Hazard{
			{Kind: zoning.DropOff, Geometry: orb.LineString{degrees(-1040, -40), degrees(-1020, -20)}, Words: "drop-off, up to 12 ft"},
			{Kind: zoning.SteepBelow, Geometry: orb.Polygon{{degrees(1000, 60), degrees(1020, 60), degrees(1020, 80), degrees(1000, 80), degrees(1000, 60)}}, Words: "ground of 50% or more right below a zone, 0.10 acres: what goes over the edge does not stop"},
		},
	}
	mapLots(t, zm, g, s.lots)
	spot := func(id string, x, y float64) field.Spot {
		return field.Spot{ID: id, At: degrees(x, y), DownhillDeg: math.NaN(), Band: "track-loader", MappedPct: 28, LimitPct: 30}
	}
	return &Page{Map: zm, Grid: g, Checks: &field.Checks{Spots: []field.Spot{spot("S01", -1050, -60), spot("S02", 980, 30)}}}
}

func farMap(t testing.TB, width, height float64) (*jobMap, totals) {
	p, tot, err := farParts(t).ready(true)
	require.NoError(t, err)
	j, err := newJobMap(p, tot, width, height)
	require.NoError(t, err)
	require.NoError(t, j.paint())
	return j, tot
}

// wordsOf are the texts of shapes, with their places.
func wordsOf(shapes []drawing.Shape) map[string][]drawing.Point {
	out := map[string][]drawing.Point{}
	for _, s := range shapes {
		if w, is := s.(drawing.Text); is {
			out[w.Words] = append(out[w.Words], w.At)
		}
	}
	return out
}

// A parcel whose parts lie two kilometers apart is drawn in insets, each at a scale of its own
// that is as large as it can be: it once was two specks in a sea of white.
func TestPartsFarApartAreDrawnInInsets(t *testing.T) {
	j, _ := farMap(t, 544, 320)
	require.Len(t, j.panes, 2)
	one, err := newGroundMap(j.page, totalsOf(j.page.Map), 544, 320)
	require.NoError(t, err)
	for i, p := range j.panes {
		assert.Less(t, 2.5*p.v.metres, one.v.metres, "inset %d", i)
		box := drawing.Box{Left: p.at.X, Top: p.at.Y - insetHead, Right: p.at.X + p.frame.Right, Bottom: p.at.Y + p.frame.Bottom + insetBar}
		assert.True(t, j.frame.Holds(box), "inset %d: %v", i, box)
		for _, z := range p.zones {
			for _, line := range z.path.Lines {
				for _, at := range line {
					require.True(t, p.frame.Has(at), "a zone of inset %d beyond its frame", i)
				}
			}
		}
		for _, o := range j.panes[:i] {
			assert.False(t, box.Meets(drawing.Box{Left: o.at.X, Top: o.at.Y, Right: o.at.X + o.frame.Right, Bottom: o.at.Y + o.frame.Bottom}))
		}
	}
	require.NotNil(t, j.overall)
}

// Each inset says which part it is and its acres, and has a scale bar; the letters stand on the
// map of all. Dangers and checks keep their numbers, each once, in the inset that shows them.
func TestInsetsAreLetteredAndNumbered(t *testing.T) {
	for _, text := range []float64{wideText, narrowText} {
		j, tot := farMap(t, 544, 320)
		words := wordsOf(j.marks(text))
		for _, w := range []string{"Part A: 16.8 acres", "Part B: 5.7 acres", "A", "B", "1", "2", "S01", "S02", "Staging"} {
			assert.Len(t, words[w], 1, "%q at scale %v", w, text)
		}
		assert.InDelta(t, tot.acres, 22.5, 0.06)
		assert.Len(t, words["0"], 2*3, "two zeros of each of three scale bars")
		inset := func(w string) int {
			for i, p := range j.panes {
				box := drawing.Box{Top: -insetHead, Right: p.frame.Right, Bottom: p.frame.Bottom}
				if box.Has(drawing.Point{X: words[w][0].X - p.at.X, Y: words[w][0].Y - p.at.Y}) {
					return i
				}
			}
			return -1
		}
		for w, want := range map[string]int{"Part A: 16.8 acres": 0, "1": 0, "S01": 0, "Part B: 5.7 acres": 1, "2": 1, "S02": 1, "Staging": 0, "A": -1, "B": -1} {
			assert.Equal(t, want, inset(w), w)
		}
	}
}

// Paper, screen and message show the same insets; the screen has each zone of each once, and
// tells the script where places lie on each.
func TestAllFormsShowInsets(t *testing.T) {
	p := farParts(t)
	page := string(written(t, p.WriteHTML))
	assert.Contains(t, page, "Part A: 16.8 acres")
	assert.Contains(t, page, `class="ground insets"`)
	assert.Equal(t, 2, strings.Count(page, `<span class="pane"`))
	assert.Contains(t, pdfText(t, written(t, p.WritePDF)), "Part B: 5.7 acres")
	q, tot, err := p.ready(false)
	require.NoError(t, err)
	j, err := newJobMap(q, tot, 400, 300)
	require.NoError(t, err)
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	for i, at := range []orb.Point{degrees(-1040, -40), degrees(1010, 70)} {
		place, pane := j.places()[i], j.panes[i]
		drawn := pane.groundMap.at(at)
		assert.InDelta(t, pane.at.X+drawn.X, number(place.X)+(at[0]-number(place.Lon))*number(place.PerLon), 1e-6)
		assert.InDelta(t, pane.at.Y+drawn.Y, number(place.Y)-(at[1]-number(place.Lat))*number(place.PerLat), 1e-6)
		assert.Equal(t, exact(pane.at.X), place.Left)
		assert.Equal(t, exact(pane.frame.Bottom), place.Height)
	}
}

// What no inset can show is told once, added up.
func TestHiddenGroundOfInsetsIsAddedUp(t *testing.T) {
	assert.Equal(t, []unseen{{1, 4, 0.75}, {3, 2, 0.5}}, byBand([]unseen{{3, 1, 0.25}, {1, 3, 0.5}, {3, 1, 0.25}, {1, 1, 0.25}}))
}

// Parts are ground that lies together: their boxes in metres.
func TestParts(t *testing.T) {
	at := func(x, y, side float64) part { return part{x, y, x + side, y + side} }
	for name, c := range map[string]struct {
		boxes []part
		want  int
	}{
		"near":               {[]part{at(0, 0, 100), at(200, 0, 100)}, 1},
		"far":                {[]part{at(0, 0, 100), at(300, 0, 100)}, 2},
		"a chain":            {[]part{at(0, 0, 100), at(400, 0, 100), at(200, 0, 100)}, 1},
		"a small one by":     {[]part{at(0, 0, 1000), at(2400, 0, 10)}, 1},
		"each from the next": {[]part{at(0, 0, 10), at(100, 0, 10), at(0, 100, 10), at(100, 100, 10)}, 4},
	} {
		var parts []part
		for _, b := range c.boxes {
			parts = joined(parts, b)
		}
		assert.Len(t, parts, c.want, name)
	}
	assert.Equal(t, []part{{0, 0, 10, 110}, {500, 0, 510, 10}}, nearestJoined([]part{at(0, 0, 10), at(500, 0, 10), at(0, 100, 10)}))
}

// One lot, and lots side by side, are one map.
func TestGroundThatLiesTogetherHasNoInsets(t *testing.T) {
	for _, lots := range [][]zoning.Parcel{nil, {box("One", -150, -100, -20, 100), box("Two", 20, -100, 150, 100)}} {
		p, tot, err := jobPage(t, lots...).ready(true)
		require.NoError(t, err)
		j, err := newJobMap(p, tot, 400, 300)
		require.NoError(t, err)
		assert.Len(t, j.panes, 1)
		assert.Nil(t, j.overall)
	}
}
