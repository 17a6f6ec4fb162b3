package sheet

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

func painted(t testing.TB, p *Page, width, height float64) *groundMap {
	q, totals, err := p.ready(true)
	require.NoError(t, err)
	m, err := newGroundMap(q, totals, width, height)
	require.NoError(t, err)
	require.NoError(t, m.paint())
	return m
}

// Lines hatch paper as tiles hatch pixels: along each line lies ink of the tile, and
// there is about as much of both.
func TestHatchingsAgree(t *testing.T) {
	const n = mostMachines
	for b := range n + palette.Rest {
		h, p := hatchingOf(b, n), patternOf(b, n)
		box := drawing.Box{Right: 10 * tileSide, Bottom: 10 * tileSide}
		length, worst := 0.0, 0.0
		pieces := h.in(box, 1, box.Has)
		for _, l := range pieces {
			for i := 1; i < len(l); i++ {
				length += math.Hypot(l[i].X-l[i-1].X, l[i].Y-l[i-1].Y)
				worst = max(worst, p.away(l[i].X, l[i].Y), p.away(l[i-1].X, l[i-1].Y))
			}
		}
		// A tick's corners are round in the tile; ends of dashes and dots are half a line
		// further than their middles.
		assert.LessOrEqual(t, worst, 1.3, "band %d", b)
		inked := length * h.widthPx
		if b == n+palette.Unknown { // dots
			inked = float64(len(pieces)) * math.Pi * h.widthPx * h.widthPx / 4
		}
		want := 0.0
		for _, s := range p.tile() {
			want += float64(s) / (inkSteps - 1)
		}
		assert.InEpsilon(t, want*100, inked, 0.35, "band %d", b)
	}
}

// Each zone is hatched by its own pattern, and by no other: black and white printers
// have nothing else.
func TestZonesAreHatched(t *testing.T) {
	m := painted(t, jobPage(t), 500, 400)
	n := len(m.page.Map.Fleet)
	byInk := map[drawing.Paint]int{}
	for b := range n + palette.Rest {
		byInk[drawing.Solid(palette.GroundOf(b, n).Hatch)] |= 1 << b
	}
	seen := 0
	for _, s := range m.base {
		p, is := s.(drawing.Path)
		if !is || byInk[p.Stroke] == 0 {
			continue
		}
		for _, l := range p.Lines {
			for _, at := range l {
				b := m.band(at) - 1
				require.GreaterOrEqual(t, b, 0)
				assert.NotZero(t, byInk[p.Stroke]&(1<<b), "band %d", b)
				seen |= 1 << b
			}
		}
	}
	for _, z := range m.page.Map.Lots[0].Zones {
		if z.Acres > 0.1 {
			assert.NotZero(t, seen&(1<<z.Band), "band %d has no hatching", z.Band)
		}
	}
}

// Words and signs do not lie on each other, at any scale, and none leaves the frame.
func TestMarksKeepApart(t *testing.T) {
	lots := map[string][]zoning.Parcel{"one": nil, "many": scenes()["lots"].lots}
	for name, lots := range lots {
		for _, text := range []float64{wideText, narrowText} {
			m := painted(t, jobPage(t, lots...), 420, 460)
			k := &marker{groundMap: m, room: room{within: m.frame.Inset(1)}, text: text}
			k.dangers()
			k.places()
			first := len(k.taken)
			k.zoneLabels()
			k.checkNames()
			k.contourLabels()
			assert.Greater(t, len(k.taken), first, "nothing is labelled")
			for i, a := range k.taken {
				for _, b := range k.taken[:i] {
					assert.False(t, a.Meets(b), "%s at %g: %v and %v", name, text, a, b)
				}
			}
			for _, s := range k.out {
				if word, is := s.(drawing.Text); is {
					w := drawing.Measure(word.Words, word.Size, word.Bold)
					assert.True(t, m.frame.Inset(-1).Holds(drawing.Around(word.At, w*0.9, word.Size*0.5)), word.Words)
				}
			}
		}
	}
}

// Acres in the zones are those of their pieces, and sum to no more than the table's.
func TestZoneLabelsTellAcres(t *testing.T) {
	m := painted(t, jobPage(t), 500, 400)
	labels := map[string]int{}
	for _, s := range m.marks(wideText) {
		if w, is := s.(drawing.Text); is {
			labels[w.Words]++
		}
	}
	all := pieces(m.page.Map.Lots)
	require.Positive(t, labels[totals{decimals: m.page.Map.AcreDecimals()}.acresText(all[0].acres)+" ac"], "the largest piece is labelled")
	sum := 0.0
	for _, p := range all {
		sum += p.acres
	}
	assert.InEpsilon(t, m.page.Map.Lots[0].Acres, sum, 1e-9)
	for _, words := range []string{"Staging", "Emergency", "Gate 12 ft", "S01", "1", "2", "3"} {
		assert.Equal(t, 1, labels[words], words)
	}
}

// Machines work up and down: on a slope that falls to the south-east, arrows point
// along 135°, drawn with north up.
func TestArrowPointsDownTheSlope(t *testing.T) {
	g := scene{cols: 300, rows: 300, cell: 1, height: func(x, y float64) float64 { return 0.1 * (y - x) }}.grid(t)
	q := jobPageOn(t, g)
	require.NotEmpty(t, q.Map.Lots[0].Zones[0].Patches)
	assert.InDelta(t, 135, q.Map.Lots[0].Zones[0].Patches[0].AzimuthDeg, 0.3)
	shaft := arrow(drawing.Point{}, 20, 135)[1].(drawing.Path).Lines[0]
	// South-east on paper is right and down.
	assert.InDelta(t, 10*math.Sqrt2/2, shaft[1].X, 1e-9)
	assert.InDelta(t, 10*math.Sqrt2/2, shaft[1].Y, 1e-9)
	m := painted(t, q, 400, 400)
	found := false
	for _, s := range m.marks(wideText) {
		if path, is := s.(drawing.Path); is && len(path.Lines) == 3 && len(path.Lines[0]) == 2 && path.Width == 1.3 {
			d := path.Lines[0]
			assert.InDelta(t, 1, (d[1].Y-d[0].Y)/(d[1].X-d[0].X), 0.02)
			found = true
		}
	}
	assert.True(t, found, "no arrow is drawn")
}

// Places lie where the scale says: 100 m apart on the ground are 100 m on the bar.
func TestScaleIsTrue(t *testing.T) {
	m := painted(t, jobPage(t), 500, 400)
	a, b := m.at(degrees(-50, 0)), m.at(degrees(50, 0))
	assert.InEpsilon(t, 100, (b.X-a.X)*reliefPx*m.v.metres, 1e-3)
	c := &column{page: &drawing.Page{}, width: 500, scale: 1}
	m.bars(c)
	var words []string
	for _, s := range c.page.Shapes {
		if w, is := s.(drawing.Text); is {
			words = append(words, w.Words)
			var long float64
			var unit string
			if n, _ := fmt.Sscanf(w.Words, "%g %s", &long, &unit); n == 2 {
				metres := map[string]float64{"feet": 0.3048, "meters": 1}[unit]
				assert.InEpsilon(t, long*metres, w.At.X*reliefPx*m.v.metres, 1e-6, w.Words)
			}
		}
	}
	assert.Contains(t, words, "True north is up")
	assert.Contains(t, words, "grid north is true north")
}

// Signs that carry meaning stand out by WCAG 2.2, 1.4.11 (3:1) from the white they
// are cased in, and words on plates by 1.4.3 (4.5:1) from any ground under them.
func TestSignsStandOut(t *testing.T) {
	for _, l := range hazardLooks {
		for _, p := range l.look {
			if p.Stroke.Colour != palette.Paper {
				assert.GreaterOrEqual(t, contrast(p.Stroke.Colour, palette.Paper), 3.0, l.words)
			}
		}
	}
	for kind, l := range featureLooks {
		for _, p := range l.look {
			if p.Stroke.Colour != palette.Paper {
				assert.GreaterOrEqual(t, contrast(p.Stroke.Colour, palette.Paper), 3.0, kind)
			}
		}
	}
	for n := 1; n <= mostMachines; n++ {
		for _, under := range paintsFor(n).colours {
			assert.GreaterOrEqual(t, contrast(palette.Ink, palette.Mix(under, palette.Paper, plateOpaque)), 4.5)
		}
	}
	assert.GreaterOrEqual(t, contrast(palette.Ink, palette.Paper), 4.5) // numbers of dangers
}

func TestManyChecksAreNotDrawn(t *testing.T) {
	p := jobPage(t)
	for i := range mostChecks {
		p.Checks.Spots = append(p.Checks.Spots, field.Spot{ID: fmt.Sprint(i), At: orb.Point{}, DownhillDeg: math.NaN()})
	}
	m := painted(t, p, 500, 400)
	m.marks(wideText)
	last := keyEntry{}
	for _, k := range m.key {
		if k.words == "Field checks" {
			last = k
		}
	}
	assert.Equal(t, "122 spots, too many to draw: see their list", last.more)
}

func TestPNGIsForPhones(t *testing.T) {
	img, err := png.Decode(bytes.NewReader(written(t, jobPage(t).WritePNG)))
	require.NoError(t, err)
	assert.Equal(t, 1080, img.Bounds().Dx())
	assert.Greater(t, img.Bounds().Dy(), 1000)
}

// Several lots make an overview: each lot in a table, with its acres.
func TestOverviewOfLots(t *testing.T) {
	p := jobPage(t, scenes()["lots"].lots...)
	page := htmlWords(written(t, p.WriteHTML))
	assert.Contains(t, page, "30 lots")
	text := pdfText(t, written(t, p.WritePDF))
	for i, lot := range p.Map.Lots {
		assert.Contains(t, page, fmt.Sprintf("%s %.2f", lot.Lot, lot.Acres))
		assert.Equal(t, i < manyLotRows, tableHas(text, lot.Lot, fmt.Sprintf("%.2f", lot.Acres)), lot.Lot)
	}
	assert.Contains(t, text, "and 6 more: see the sheet on a screen")
}

// tableHas reports whether two cells follow each other in the text of a PDF.
func tableHas(text, a, b string) bool { return bytes.Contains([]byte(text), []byte(a+"\n"+b+"\n")) }

func TestPageRefusesNothingToDraw(t *testing.T) {
	var b bytes.Buffer
	assert.ErrorIs(t, (&Page{Map: &zoning.ZoneMap{}}).WriteHTML(&b), errNoLot)
	p := jobPage(t)
	p.Grid = nil
	assert.ErrorContains(t, p.WritePDF(&b), "no elevation to draw")
	assert.Zero(t, b.Len())
}

// Lots of any shape, on ground of any kind, make two pages, a page and a picture.
func TestPagesOfAnyScene(t *testing.T) {
	for name, s := range scenes() {
		g, zm := s.mapped(t)
		p := &Page{Map: zm, Grid: g}
		assert.Equal(t, []string{"612.00 × 792.00", "612.00 × 792.00"}, pdfPages(written(t, p.WritePDF)), name)
		assert.Contains(t, htmlWords(written(t, p.WriteHTML)), "workable with what is loaded", name)
		_, err := png.DecodeConfig(bytes.NewReader(written(t, p.WritePNG)))
		assert.NoError(t, err, name)
	}
}

// Commands write all files of a run at once.
func TestFormsAreWrittenAtOnce(t *testing.T) {
	p := jobPage(t)
	alone := [][]byte{written(t, p.WriteHTML), written(t, p.WritePDF), written(t, p.WritePNG)}
	together := make([]bytes.Buffer, 3)
	errs := make([]error, 3)
	var all sync.WaitGroup
	for i, write := range []func(io.Writer) error{p.WriteHTML, p.WritePDF, p.WritePNG} {
		all.Go(func() { errs[i] = write(&together[i]) })
	}
	all.Wait()
	for i := range alone {
		require.NoError(t, errs[i])
		assert.True(t, bytes.Equal(alone[i], together[i].Bytes()))
	}
}
