package drawing

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
)

var (
	red   = color.RGBA{0xFF, 0, 0, 0xFF}
	black = color.RGBA{0, 0, 0, 0xFF}
)

// square is a ring; turned, it winds the other way.
func square(at, side float64, turned bool) []Point {
	r := Box{at, at, at + side, at + side}.Ring()
	if turned {
		r[1], r[3] = r[3], r[1]
	}
	return r
}

// scene has one of each shape on it.
func scene() Page {
	picture := image.NewPaletted(image.Rect(0, 0, 2, 2), color.Palette{color.White, color.RGBA{0, 0x9E, 0x73, 0xFF}})
	picture.Pix = []uint8{0, 1, 1, 0}
	return Page{Width: 200, Height: 150, Shapes: []Shape{
		Picture{Box: Box{110, 10, 190, 90}, Image: picture},
		Path{Lines: [][]Point{square(10, 80, false), square(30, 40, true)}, Closed: true, Fill: Solid(red)},
		Path{Lines: [][]Point{{{10, 100}, {190, 100}}}, Stroke: Solid(black), Width: 4},
		Path{Lines: [][]Point{{{10, 110}, {190, 110}}}, Stroke: Paint{black, 0.5}, Width: 4, Dash: []float64{20, 10}},
		Text{At: Point{100, 140}, Anchor: Middle, Size: 16, Bold: true, Colour: black, Words: "Зона 4.2 & <b>"},
	}}
}

func TestPixels(t *testing.T) {
	img := Pixels(scene(), 2)
	require.Equal(t, image.Rect(0, 0, 400, 300), img.Rect)
	at := func(x, y float64) color.RGBA { return img.RGBAAt(int(2*x), int(2*y)) }
	white := color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	assert.Equal(t, red, at(15, 15))
	assert.Equal(t, white, at(50, 50), "a ring wound the other way is a hole")
	assert.Equal(t, color.RGBA{0, 0x9E, 0x73, 0xFF}, at(170, 30))
	assert.Equal(t, white, at(130, 30))
	assert.Equal(t, black, at(100, 99))
	assert.Equal(t, black, at(100, 101))
	assert.Equal(t, white, at(100, 103))
	assert.InDelta(t, 0x80, int(at(20, 110).R), 2, "half as opaque")
	assert.Equal(t, white, at(36, 110), "between dashes, whose ends are round")
}

func TestSVG(t *testing.T) {
	s := SVG(scene().Shapes)
	assert.Contains(t, s, `<path d="M10 10l80 0l0 80l-80 0zM30 30l0 40l40 0l0 -40z" fill="#ff0000"/>`)
	assert.Contains(t, s, `<path d="M10 100l180 0" fill="none" stroke="#000000" stroke-width="4" stroke-linecap="round" stroke-linejoin="round"/>`)
	assert.Contains(t, s, `stroke-opacity="0.5" stroke-dasharray="20 10"`)
	assert.Contains(t, s, `<text x="100" y="140" font-size="16" text-anchor="middle" font-weight="700" fill="#000000">Зона 4.2 &amp; &lt;b&gt;</text>`)
	d := xml.NewDecoder(strings.NewReader("<svg>" + s + "</svg>"))
	var err error
	for err == nil {
		_, err = d.Token()
	}
	assert.ErrorIs(t, err, io.EOF)
}

func pdfOf(t testing.TB, pages ...Page) []byte {
	var b bytes.Buffer
	require.NoError(t, WritePDF(&b, Document{"Scene", "en-US", time.Unix(0, 0).UTC()}, pages))
	return b.Bytes()
}

func TestPDFIsTheSameEachRun(t *testing.T) {
	assert.True(t, bytes.Equal(pdfOf(t, scene(), scene()), pdfOf(t, scene(), scene())))
}

// Poppler draws from the PDF what is drawn here in pixels.
func TestPDFLooksLikePixels(t *testing.T) {
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("pdftoppm of poppler-utils is not installed")
	}
	cmd := exec.Command(tool, "-png", "-r", "144", "-")
	cmd.Stdin = bytes.NewReader(pdfOf(t, scene()))
	out, err := cmd.Output()
	require.NoError(t, err)
	theirs, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	ours := Pixels(scene(), 2)
	require.Equal(t, ours.Rect, theirs.Bounds())
	sum, far := 0.0, 0
	for y := range 300 {
		for x := range 400 {
			r, g, b, _ := theirs.At(x, y).RGBA()
			c := ours.RGBAAt(x, y)
			d := math.Abs(float64(r>>8)-float64(c.R)) + math.Abs(float64(g>>8)-float64(c.G)) + math.Abs(float64(b>>8)-float64(c.B))
			sum += d
			if d > 200 {
				far++
			}
		}
	}
	assert.Less(t, sum/(400*300*3), 2.0, "mean difference of a channel, of 255")
	assert.Less(t, far, 400, "pixels that are something else altogether, of 120 000")
}

// The library's own measure of the same font, which counts kerning too.
func TestMeasure(t *testing.T) {
	f, err := opentype.Parse(gobold.TTF)
	require.NoError(t, err)
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: 100, DPI: 72, Hinting: font.HintingNone})
	require.NoError(t, err)
	words := "Track loader 4.2 acres"
	assert.InEpsilon(t, float64(font.MeasureString(face, words))/64, Measure(words, 100, true), 0.01)
	assert.Equal(t, "山 Tarn ?", Written("山 Tarn 🌲"))
}

func TestFoldLeavesNothingOut(t *testing.T) {
	words := "ground of 50% or more rightbelowazonewithoutanyspacesinit at last"
	for width := 20.0; width < 300; width += 7 {
		lines := Fold(words, 8, false, width)
		for _, l := range lines {
			assert.LessOrEqual(t, Measure(l, 8, false), width+1e-9, l)
		}
		assert.Equal(t, strings.ReplaceAll(words, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
	}
	assert.Empty(t, Fold("  ", 8, false, 50))
	assert.Equal(t, []string{"W", "W"}, Fold("WW", 8, false, 1), "at least a letter a line")
	short := Shortened("Boom-mounted head", 8, true, 40)
	assert.True(t, strings.HasSuffix(short, "…"))
	assert.LessOrEqual(t, Measure(short, 8, true), 40.0)
	assert.Equal(t, "head", Shortened("head", 8, true, 40))
}

func TestClipLine(t *testing.T) {
	box := Box{0, 0, 10, 10}
	for _, c := range []struct {
		line []Point
		want [][]Point
	}{
		{[]Point{{1, 1}, {9, 9}}, [][]Point{{{1, 1}, {9, 9}}}},
		{[]Point{{-5, 5}, {15, 5}}, [][]Point{{{0, 5}, {10, 5}}}},
		{[]Point{{-5, 5}, {5, 15}}, nil}, // touches no more than a corner's neighbourhood
		{[]Point{{5, 5}, {5, 15}, {8, 15}, {8, 5}}, [][]Point{{{5, 5}, {5, 10}}, {{8, 10}, {8, 5}}}},
		{[]Point{{11, 0}, {11, 10}}, nil},
	} {
		got := ClipLine(c.line, box)
		if len(c.want) == 0 {
			for _, l := range got { // a corner may be left of it
				assert.InDelta(t, 0, math.Hypot(l[1].X-l[0].X, l[1].Y-l[0].Y), 1e-9)
			}
			continue
		}
		assert.Equal(t, c.want, got)
	}
}

func TestDashes(t *testing.T) {
	line := []Point{{0, 0}, {25, 0}, {25, 20}}
	got := dashes(line, []float64{10, 5})
	assert.Equal(t, [][]Point{{{0, 0}, {10, 0}}, {{15, 0}, {25, 0}}, {{25, 5}, {25, 15}}}, got)
	assert.Equal(t, [][]Point{line}, dashes(line, nil))
}

func TestMoved(t *testing.T) {
	moved := Moved(scene().Shapes, Point{5, 7})
	assert.Equal(t, Box{115, 17, 195, 97}, moved[0].(Picture).Box)
	assert.Equal(t, Point{15, 17}, moved[1].(Path).Lines[0][0])
	assert.Equal(t, Point{10, 10}, scene().Shapes[1].(Path).Lines[0][0], "what was given stays")
	assert.Equal(t, Point{105, 147}, moved[4].(Text).At)
}

// Pictures of one width stood in the PDF in an order of chance: three of them, the same bytes
// each time, and each drawn in its own box.
func TestPicturesOfOneWidth(t *testing.T) {
	page := Page{Width: 200, Height: 150}
	for i := range 3 {
		picture := image.NewPaletted(image.Rect(0, 0, 4, 3), color.Palette{color.White, black})
		picture.Pix[i] = 1
		page.Shapes = append(page.Shapes, Picture{Box: Box{10 * float64(i), 10, 10*float64(i) + 8, 16}, Image: picture})
	}
	var first []byte
	for range 30 {
		var b bytes.Buffer
		require.NoError(t, WritePDF(&b, Document{Made: time.Unix(0, 0)}, []Page{page}))
		if first == nil {
			first = b.Bytes()
		}
		require.Equal(t, first, b.Bytes())
	}
	for _, width := range []string{"/Width 4\n", "/Width 5\n", "/Width 6\n"} {
		assert.Contains(t, string(first), width)
	}
	last := image.NewPaletted(image.Rect(0, 0, 2, 2), color.Palette{color.White, black, red})
	last.Pix = []uint8{0, 1, 2, 0}
	assert.Equal(t, []uint8{0, 1, 1, 1, 2, 0, 0, 0}, widened(last, 4).Pix)
}
