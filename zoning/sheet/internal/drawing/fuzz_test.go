package drawing

import (
	"encoding/xml"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// odd are texts in many scripts, and such as none has.
var odd = []string{
	"lot חלקה (12), 3.4", "قطعة ٣ b", "क्षेत्र ที่ดิน", "소나무 松林", "\u2067א\u2069 (1)", "ab\u2029גד", "\xff𐒰", "x\u0301\u0335 " + strings.Repeat("\u0301", 50),
	strings.Repeat("ক্", 100), strings.Repeat("م", 300), "\u202Eabc]]>", "\t\n \u3000", "…א…",
}

// A PDF takes too long to be fuzzed.
func TestOddTextsInPDF(t *testing.T) {
	p := Page{Width: 200, Height: 200}
	for i, words := range odd {
		p.Add(Text{At: Point{5, 12 * float64(i+1)}, Size: 8, Bold: i%2 == 0, Colour: ink, Words: words})
	}
	assert.True(t, strings.HasPrefix(string(pdfOf(t, p)), "%PDF"))
}

// FuzzWideText breaks, cuts and draws a text as pixels and SVG.
func FuzzWideText(f *testing.F) {
	for _, words := range odd {
		f.Add(words, 40, true)
	}
	f.Fuzz(func(t *testing.T, words string, width int, bold bool) {
		if len(words) > 1<<11 {
			return
		}
		room := float64(max(1, min(width, 500)))
		for _, line := range Fold(words, 8, bold, room) {
			assert.True(t, utf8.ValidString(line) || !utf8.ValidString(words))
			assert.True(t, Measure(line, 8, bold) <= room+1e-9 || len(lettersOf(Written(line))) <= 4, "%q in %g", line, room)
		}
		short := Shortened(Written(words), 8, bold, room)
		assert.True(t, Measure(short, 8, bold) <= room+1e-9 || short == "…", "%q in %g", short, room)
		text := Text{At: Point{5, 10}, Size: 8, Bold: bold, Colour: ink, Words: words}
		x, width8 := 5.0, Measure(words, 8, bold)
		for _, p := range text.pieces() {
			assert.InDelta(t, x, p.At.X, 1e-6, "pieces stand side by side")
			x += p.width
		}
		if x > 5 {
			assert.InDelta(t, 5+width8, x, 1e-6)
		}
		p := Page{Width: 60, Height: 20, Shapes: []Shape{text}}
		Pixels(p, 1)
		require.NoError(t, xml.Unmarshal([]byte("<svg>"+SVG(p.Shapes)+"</svg>"), new(struct{})), "%q", words)
	})
}
