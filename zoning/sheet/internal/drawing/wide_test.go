package drawing

import (
	"image"
	"image/color"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var ink = color.RGBA{A: 0xFF}

// A line with letters beyond the Go fonts was measured and drawn as question marks.
func TestWideLettersAreAsWideAsTheirFont(t *testing.T) {
	assert.InDelta(t, 20, Measure("松林", 10, false), 1e-9, "two squares of their size")
	assert.InDelta(t, Measure("lot , 3", 10, true)+20, Measure("lot 松林, 3", 10, true), 1e-9)
	assert.Equal(t, []string{"松林三", "号"}, Fold("松林三号", 10, false, 35))
	assert.Equal(t, []string{"lot", "松林三", "号"}, Fold("lot 松林三号", 10, false, 32))
	assert.Equal(t, "松林…", Shortened("松林三号", 10, false, 35))
	assert.Equal(t, []string{"क्षे", "त्र"}, Fold("क्षेत्र", 10, false, 8), "between letters, not inside one")
}

// box is where a picture is not white.
func inkBox(img *image.RGBA) image.Rectangle {
	var out image.Rectangle
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
				out = out.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return out
}

// Names from right to left stand where they were measured, at every anchor.
func TestWideLettersAreDrawnInTheirPlace(t *testing.T) {
	for anchor, left := range map[Anchor]float64{Left: 50, Middle: 50 - 10, Right: 50 - 20} {
		img := Pixels(Page{Width: 100, Height: 20, Shapes: []Shape{Text{At: Point{50, 15}, Anchor: anchor, Size: 10, Colour: ink, Words: "松林"}}}, 4)
		got := inkBox(img)
		assert.InDelta(t, left*4, got.Min.X, 4)
		assert.InDelta(t, (left+20)*4, got.Max.X, 4)
		assert.InDelta(t, (15-8.5)*4, got.Min.Y, 4)
	}
	wide := func(bold bool) int {
		return inkBox(Pixels(Page{Width: 120, Height: 120, Shapes: []Shape{Text{At: Point{10, 100}, Size: 100, Bold: bold, Colour: ink, Words: "山"}}}, 4)).Dx()
	}
	assert.InDelta(t, 12, wide(true)-wide(false), 1, "bolder by three hundredths of 400 pixels")
}

// SVG draws what a reader may have no font for, and keeps its text to be found.
func TestWideLettersInSVG(t *testing.T) {
	svg := SVG([]Shape{Text{At: Point{10, 20}, Size: 10, Colour: ink, Words: "lot חלקה"}})
	assert.Equal(t, 1, strings.Count(svg, "<path "))
	assert.Contains(t, svg, `fill-opacity="0" textLength="24.38" lengthAdjust="spacingAndGlyphs">חלקה</text>`) // 2438 of 1000 units
	assert.Contains(t, svg, `<text x="10" y="20" font-size="10" fill="#000000" textLength=`)
	assert.Contains(t, svg, `>lot</text>`)
	assert.Equal(t, `<text x="0" y="0" font-size="8" fill="#000000">Ost 4</text>`+"\n", SVG([]Shape{Text{Size: 8, Colour: ink, Words: "Ost 4"}}))
}

// A crew that looks for a lot's name in the PDF finds it.
func TestWideLettersInPDFAreFound(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	p := Page{Width: 300, Height: 200}
	names := []string{"松林三号", "소나무", "חלקה", "भूखंड", "ที่ดิน", "მიწა", "lot 松林 12"}
	for i, name := range names {
		p.Add(Text{At: Point{20, 20 + 25*float64(i)}, Size: 10, Colour: ink, Words: name})
	}
	p.Add(Text{At: Point{200, 20}, Size: 10, Colour: ink, Words: "𐒰𐒰"}) // beyond U+FFFF: drawn alone
	file := filepath.Join(t.TempDir(), "names.pdf")
	require.NoError(t, os.WriteFile(file, pdfOf(t, p), 0o600))
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	require.NoError(t, err)
	for _, name := range names {
		assert.Contains(t, strings.NewReplacer("\u202B", "", "\u202C", "").Replace(string(out)), name)
	}
}
