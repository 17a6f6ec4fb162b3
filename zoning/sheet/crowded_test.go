package sheet

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/site"
)

// eightScripts are names of lots in eight scripts, one from the right to the left.
var eightScripts = []string{"Alder Bottom", "Ольховая низина", "Σκληθρότοπος", "ארבעת הגבעות 12", "وادي الصفصاف 7", "ハンノキの谷", "榆树沟", "오리나무 골"}

// crowd are maps that are hard to write on: large ground, a lot of a house, many lots, and names
// in eight scripts.
func crowd(t testing.TB) map[string]*Page {
	hills := func(wave float64) func(x, y float64) float64 {
		return func(x, y float64) float64 {
			return 0.12*y + wave*0.09*math.Sin(2*math.Pi*x/wave)*math.Cos(2*math.Pi*y/wave) + wave*0.02*math.Sin(9*x/wave+7*y/wave)
		}
	}
	job := func(cols, rows int, cell, wave float64, checks int, lots ...zoning.Parcel) *Page {
		s := scene{cols: cols, rows: rows, cell: cell, fleet: threeMachines(), lots: lots, height: hills(wave)}
		g := s.grid(t)
		zm := &zoning.ZoneMap{
			Fleet: s.fleet, Ground: zoning.Dry, Cautions: zoning.Cautions(measure.US),
			Sources: []terrain.Source{{Path: "made.tif", CellM: [2]float64{cell, cell}, Unit: "m", UnitM: 1, UnitFrom: "band unit"}},
			Error:   zoning.ElevationError{SigmaM: 0.1, From: "lidar-ql2"},
		}
		w, h := float64(cols)*cell, float64(rows)*cell
		zm.Access = zoning.Access{Checked: true, Staging: []orb.Point{degrees(-0.3*w, -0.42*h), degrees(-0.29*w, -0.42*h)}}
		p := &Page{Map: zm, Grid: g, Checks: &field.Checks{}}
		for i := range checks {
			a := float64(i) * 2.4 // about the golden angle: spread, some close together
			r := 0.42 * math.Sqrt(float64(i)/float64(checks))
			p.Checks.Spots = append(p.Checks.Spots, field.Spot{ID: fmt.Sprintf("S%02d", i+1), At: degrees(r*w*math.Cos(a), r*h*math.Sin(a)),
				DownhillDeg: math.NaN(), Band: "track-loader", MappedPct: 28, LimitPct: 30})
			x, y := r*w*math.Cos(a+1), r*h*math.Sin(a+1)
			d := w / 60
			zm.Hazards = append(zm.Hazards,
				zoning.Hazard{Kind: zoning.DropOff, Geometry: orb.LineString{degrees(x, y), degrees(x+d, y+d/2), degrees(x+2*d, y)}, Words: "drop-off, up to 12 ft"},
				zoning.Hazard{Kind: zoning.PinchPoint, Geometry: degrees(x-d, y-d), Machine: "track-loader", Words: "pinch point on the access route of the track loader: about 9 ft wide, 1.0 acres beyond"},
				zoning.Hazard{Kind: zoning.Drainage, Geometry: orb.LineString{degrees(x, y-d), degrees(x+3*d, y-2*d), degrees(x+4*d, y-d)}, Words: "drainage line: at least 2.0 acres drain through its lower end"})
			if i%4 == 0 {
				p.Features = append(p.Features, site.Feature{Kind: site.Gate, WidthM: 12 * zoning.MetresPerFoot, Geometry: degrees(x, y)})
			}
		}
		mapLots(t, zm, g, lots)
		return p
	}
	var six, named []zoning.Parcel
	for i := range 6 {
		x, y := float64(i%3)*110-165, float64(i/3)*110-110
		six = append(six, box(fmt.Sprintf("Lot %d of the upper bench", i+1), x, y, x+106, y+106))
	}
	for i, name := range eightScripts {
		x, y := float64(i%4)*110-220, float64(i/4)*110-110
		named = append(named, box(name, x, y, x+106, y+106))
	}
	return map[string]*Page{
		"2,400 acres":    job(760, 760, 5, 700, 36, ring("Long Ridge", 0, 0, 1730, 40)),
		"0.2 acres":      job(120, 120, 0.5, 40, 4, box("House lot", -14, -14, 14.5, 14.5)),
		"six lots":       job(380, 270, 1, 90, 12, six...),
		"eight scripts":  job(480, 270, 1, 110, 8, named...),
		"two parts":      farParts(t),
		"the usual site": jobPage(t),
	}
}

// onMap is a text or a sign on a map: its box, and what it says.
type onMap struct {
	box   drawing.Box
	words string
}

// writtenOn are the texts, and the signs that are filled with paper, of shapes. A letter in the
// middle of its sign is part of it, and signs in one place are one.
func writtenOn(shapes []drawing.Shape) (out []onMap) {
	bounds := func(line []drawing.Point) drawing.Box {
		b := drawing.Box{Left: math.Inf(1), Top: math.Inf(1), Right: math.Inf(-1), Bottom: math.Inf(-1)}
		for _, p := range line {
			b = drawing.Box{Left: min(b.Left, p.X), Top: min(b.Top, p.Y), Right: max(b.Right, p.X), Bottom: max(b.Bottom, p.Y)}
		}
		return b
	}
	for _, s := range shapes {
		switch s := s.(type) {
		case drawing.Path:
			if s.Fill == drawing.Solid(palette.Paper) && s.Closed && len(s.Lines) == 1 && len(s.Lines[0]) >= 8 {
				out = append(out, onMap{bounds(s.Lines[0]), "sign"})
			}
		case drawing.Text:
			w := drawing.Measure(s.Words, s.Size, s.Bold)
			left := s.At.X - w*[]float64{0, 0.5, 1}[s.Anchor]
			box := drawing.Box{Left: left, Top: s.At.Y - 0.72*s.Size, Right: left + w, Bottom: s.At.Y + 0.2*s.Size}
			if n := len(out); n > 0 && out[n-1].words == "sign" && math.Hypot(out[n-1].box.Middle().X-s.At.X, out[n-1].box.Middle().Y+0.36*s.Size-s.At.Y) < 0.01 {
				out[n-1].words = "sign " + s.Words
				continue
			}
			out = append(out, onMap{box, s.Words})
		}
	}
	return out
}

// No label and no sign of a map lies on another, however much is to be written: checks and tight
// spots were once drawn whatever lay there, and the names of gates under them. What has no room
// is counted in the key; the worst dangers always stand.
func TestLabelsNeverOverprint(t *testing.T) {
	for name, p := range crowd(t) {
		q, tot, err := p.ready(true)
		require.NoError(t, err)
		for _, c := range []struct{ wide, tall, text float64 }{{544, 380, wideText}, {400, 300, wideText}, {508, 420, narrowText}} {
			j, err := newJobMap(q, tot, c.wide, c.tall)
			require.NoError(t, err)
			require.NoError(t, j.paint())
			all := writtenOn(j.marks(c.text))
			require.NotEmpty(t, all)
			numbers := 0
			for i, a := range all {
				for _, b := range all[:i] {
					assert.False(t, a.box.Inset(0.05).Meets(b.box.Inset(0.05)), "%s, %v: %q at %v on %q at %v", name, c, a.words, a.box, b.words, b.box)
				}
				if a.words == "sign 1" || a.words == "1" {
					numbers++
				}
			}
			located := 0
			for _, d := range q.dangers[:min(1, len(q.dangers))] {
				if d.at != nil {
					located++
				}
			}
			assert.GreaterOrEqual(t, numbers, located, "%s, %v: the worst danger stands", name, c)
		}
	}
}

// What was thinned is told: drawn and told signs are all that there are.
func TestThinnedSignsAreCounted(t *testing.T) {
	p, tot, err := crowd(t)["2,400 acres"].ready(true)
	require.NoError(t, err)
	j, err := newJobMap(p, tot, 90, 70)
	require.NoError(t, err)
	require.NoError(t, j.paint())
	drawn := 0
	for _, o := range writtenOn(j.marks(narrowText)) {
		if o.words == "sign" && o.box.Width() < 5*narrowText {
			drawn++
		}
	}
	require.Positive(t, j.panes[0].thin[checkWords])
	assert.Equal(t, len(p.Checks.Spots), drawn+j.panes[0].thin[checkWords])
	for _, e := range j.signs(tot) {
		if e.words == checkWords {
			assert.Contains(t, e.more, fmt.Sprintf("%d more have no room at this scale", j.panes[0].thin[checkWords]))
		}
	}
	assert.NotContains(t, fmt.Sprint(thinned([]keyEntry{{words: "x", more: "y"}}, nil)), "room")
}
