package sheet

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// strangeNames are names as files of the world have them, and as nobody should.
var strangeNames = []string{
	"Kaʻū", "Tʼáá", "قطعة أرض", "松林三号", "소나무 숲", "חלקה 12", "भूखंड ३", "🌲", "Cafe\u0301", "Ǫ́ǫ́",
	"\u202Eevil", "\xff\xfe", "a\x00b", "\x1b[31mred", "]]>", "</text><script>", "{{.}}", "", " ", "\u00A0", "\uFFFF", "\U0010FFFF",
	"👨‍👩‍👧", "\u0301", strings.Repeat("W", 5000), strings.Repeat("山", 5000), strings.Repeat("a ", 5000),
}

// floods are names that no script has: letters with marks without end, signs that turn the
// direction of writing, and letters that join all of a line.
var floods = []string{
	"x" + strings.Repeat("\u0301\u0335", 2000), "भू" + strings.Repeat("ि", 300), "ש" + strings.Repeat("\u05B0", 9), "\u2067א\u2069 (1)", "ab\u2029גד", "\u115F\u1160\u11A8", strings.Repeat("\u200D", 500), strings.Repeat("ক্", 900),
	strings.Repeat("م", 5000), strings.Repeat("(א1", 3000),
}

// namedMap is a map of two small lots, the first of a name that is told of in a warning.
func namedMap(t testing.TB, name string) (*terrain.Grid, *zoning.ZoneMap) {
	s := scene{60, 40, 3, hills, threeMachines(), []zoning.Parcel{box(name, -80, -50, -2, 50), box("West", 2, -50, 80, 50)}}
	g, zm := s.mapped(t)
	for i := range zm.Lots {
		zm.Lots[i].Place = i + 7
	}
	zm.Lots[0].Notes = []string{"crossed itself"}
	zm.Warnings = []string{"lot " + name + " reaches beyond the elevation"}
	return g, zm
}

// checkNamed writes a map of a lot in every form of this package.
func checkNamed(t *testing.T, name string) {
	g, zm := namedMap(t, name)
	require.NoError(t, Picture(io.Discard, g, zm))
	var html, pdf, picture, table bytes.Buffer
	require.NoError(t, (&Page{Map: zm, Grid: g}).WritePNG(&picture))
	_, err := png.DecodeConfig(&picture)
	require.NoError(t, err)
	require.NoError(t, Remarks(&table, zm))
	// Of one lot, the name is the title.
	one := &zoning.ZoneMap{Fleet: zm.Fleet, Lots: zm.Lots[:1], Cautions: zm.Cautions}
	p := Page{Map: one, Grid: g, Emergency: Emergency{Words: name}, Date: name}
	require.NoError(t, p.WriteHTML(&html))
	assert.True(t, utf8.Valid(html.Bytes()))
	require.NoError(t, p.WritePDF(&pdf))
	assert.True(t, bytes.HasPrefix(pdf.Bytes(), []byte("%PDF-")))
	require.NoError(t, Table(&table, one))
	assert.True(t, utf8.Valid(table.Bytes()))
	assert.False(t, strings.ContainsFunc(table.String(), func(r rune) bool { return r < ' ' && r != '\n' || r == 0x7F || r == '\u202E' }))
	overview := overviewPageOf(t, []OverviewLot{
		{LotMap: zoning.LotMap{Lot: name, Acres: 1, Zones: zm.Lots[0].Zones[:1], Notes: []string{name}}, Outline: squareAt(-84, 36, side/2)},
		{LotMap: zoning.LotMap{Lot: name}, Failure: name, Outline: squareAt(-84, 36.01, side/2)},
	})
	assert.True(t, utf8.ValidString(overview))
	svg := drawing.SVG([]drawing.Shape{drawing.Text{Words: name, Size: 8}})
	require.NoError(t, xml.Unmarshal([]byte("<svg>"+svg+"</svg>"), new(struct{})), "%q", name)
}

// A letter that the font lacks had no mask and a box to draw it in, which ended the
// program.
func TestAnyNameIsDrawn(t *testing.T) {
	for _, name := range strangeNames {
		checkNamed(t, name)
	}
}

func FuzzNames(f *testing.F) {
	for _, name := range strangeNames {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if len(name) > 1<<12 {
			return
		}
		checkNamed(t, name)
	})
}

// A name in letters that cannot be drawn gives way to the lot's number, wherever it
// stands; one in letters that look like others is written with those.
func TestNamesThatCannotBeDrawnAreNumbers(t *testing.T) {
	for name, want := range map[string]string{
		"Kaʻū": "Ka‘ū", "Tʼáá": "T’áá", "Cafe\u0301": "Café", "Ост 4": "Ост 4",
		"松林三号": "松林三号", "חלקה 12": "חלקה 12", "Ǫ́": "Ǫ́", "قطعة ٣": "قطعة ٣", "भूखंड ३": "भूखंड ३", "소나무 숲": "소나무 숲",
		"🌲": "#7", "松林🌲": "#7", "\u0301": "#7", "\u202E": "#7", "\xff": "#7", "Z" + strings.Repeat("\u0335", 5): "#7",
	} {
		_, zm := namedMap(t, name)
		got, numbered := legible(zm)
		assert.Equal(t, want, got.Lots[0].Lot, name)
		assert.Equal(t, want == "#7", numbered, name)
		assert.Equal(t, "West", got.Lots[1].Lot)
		if strings.ContainsFunc(name, func(r rune) bool { return r > ' ' && r != '\u202E' && r != utf8.RuneError }) {
			assert.Equal(t, []string{"lot " + want + " reaches beyond the elevation"}, got.Warnings, name)
		}
		assert.Equal(t, name, zm.Lots[0].Lot, "the map given stays as it is")
	}
}

// Whoever reads #7 finds in the key what it is.
func TestNumbersAreExplained(t *testing.T) {
	g, zm := namedMap(t, "松林 🌲")
	p := Page{Map: zm, Grid: g}
	q, totals, err := p.ready(true)
	require.NoError(t, err)
	m, err := newGroundMap(q, totals, 400, 300)
	require.NoError(t, err)
	var words []string
	for _, e := range m.signs(totals) {
		words = append(words, e.words)
	}
	assert.Contains(t, words, "Lots by number")

	drawnMap, _ := legible(zm)
	assert.Equal(t, []string{"lot #7 reaches beyond the elevation"}, drawnMap.Warnings)
	_, plain := namedMap(t, "East")
	q, _, err = (&Page{Map: plain, Grid: g}).ready(true)
	require.NoError(t, err)
	assert.False(t, q.numbered)
}

// No letter of the fonts' is an empty box, and what is measured of a long word is a line.
func TestLettersThatAreMissing(t *testing.T) {
	long := strings.Repeat("W", 20000)
	lines := bodyStyle.folded(long, 300)
	assert.Equal(t, long, strings.Join(lines, ""))
	assert.LessOrEqual(t, bodyStyle.width(bodyStyle.fitted(long, 300)), 300)
}

// FuzzLetters sets a name in every way in which text is measured, broken and drawn; whole
// sheets take a hundred times as long.
func FuzzLetters(f *testing.F) {
	for _, name := range slices.Concat(strangeNames, floods) {
		f.Add(name, 40)
	}
	f.Fuzz(func(t *testing.T, name string, width int) {
		if len(name) > 1<<14 {
			return
		}
		width = max(1, min(width, 1000))
		for s := range styles {
			for _, line := range s.folded(name, width) {
				assert.True(t, utf8.ValidString(line))
			}
			short := s.fitted(drawing.Written(name), width)
			assert.True(t, s.width(short) <= width || utf8.RuneCountInString(short) <= 1, "%q in %d", short, width)
		}
		spelled, _ := drawing.Spelled(name)
		again, whole := drawing.Spelled(spelled)
		assert.True(t, whole)
		assert.Equal(t, spelled, again)
		for _, line := range drawing.Fold(name, 8, true, float64(width)) {
			assert.True(t, drawing.Measure(line, 8, true) <= float64(width)+1e-9 || utf8.RuneCountInString(line) <= 32, "%q in %d", line, width)
		}
		drawing.Shortened(name, 8, false, float64(width))
		_ = drawing.Pixels(drawing.Page{Width: 40, Height: 30, Shapes: []drawing.Shape{drawing.Text{Words: name, Size: 8, At: drawing.Point{X: 1, Y: 10}, Colour: palette.Ink}}}, 1)
		svg := drawing.SVG([]drawing.Shape{drawing.Text{Words: name, Size: 8}})
		require.NoError(t, xml.Unmarshal([]byte("<svg>"+svg+"</svg>"), new(struct{})), "%q", name)
	})
}
