package drawing

import (
	"fmt"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Ascent and Descent are how far letters reach above and below their baseline, in
// parts of their size.
const (
	Ascent  = 0.75
	Descent = 0.22
)

// typeface is one of the two fonts with what was measured of it. It may be shared
// between goroutines.
type typeface struct {
	file []byte
	font *sfnt.Font
	near [farther]float64 // advances of the first letters
	sync.Mutex
	buffer   sfnt.Buffer
	advances map[rune]float64 // of the others met
}

// farther ends the letters whose advances are at hand without a lock.
const farther = 0x180

var regular, bold = sync.OnceValue(func() *typeface { return newTypeface(goregular.TTF) }),
	sync.OnceValue(func() *typeface { return newTypeface(gobold.TTF) })

func faceOf(isBold bool) *typeface {
	if isBold {
		return bold()
	}
	return regular()
}

func newTypeface(file []byte) *typeface {
	f, err := sfnt.Parse(file)
	if err != nil {
		panic(fmt.Sprintf("the built-in font cannot be read: %v", err)) // it is compiled in
	}
	t := &typeface{file: file, font: f, advances: map[rune]float64{}}
	for r := range rune(farther) {
		t.near[r] = t.measured(r)
	}
	return t
}

// advance is how far a letter moves on, in parts of its size; below 0 where the font does
// not hold it.
func (t *typeface) advance(r rune) float64 {
	if r >= 0 && r < farther {
		return t.near[r]
	}
	t.Lock()
	defer t.Unlock()
	a, known := t.advances[r]
	if known {
		return a
	}
	a = t.measured(r)
	t.advances[r] = a
	return a
}

// measured is a letter's advance by the font. Only one goroutine may ask at a time.
func (t *typeface) measured(r rune) float64 {
	if glyph, err := t.font.GlyphIndex(&t.buffer, r); err == nil && glyph != 0 {
		em := fixed.I(int(t.font.UnitsPerEm()))
		if w, err := t.font.GlyphAdvance(&t.buffer, glyph, em, font.HintingNone); err == nil {
			return float64(w) / float64(em)
		}
	}
	return -1
}

// width is how far letters that the font holds move on, in parts of their size.
func (t *typeface) width(words string) float64 {
	sum := 0.0
	for _, r := range words {
		sum += t.advance(r)
	}
	return sum
}

// Measure is how wide a line of text is.
func Measure(words string, size float64, isBold bool) float64 {
	words, _, wide := spell(words)
	if wide {
		_, width := setWide(words, isBold)
		return width * size
	}
	return faceOf(isBold).width(words) * size
}

// Fold breaks text at spaces into lines that fit a width, and words that are
// longer than a line anywhere. Nothing is left out.
func Fold(words string, size float64, isBold bool, width float64) []string {
	if beyond(words) {
		return foldWide(words, size, isBold, width)
	}
	var out []string
	line, used := "", 0.0
	space := Measure(" ", size, isBold)
	for _, word := range strings.Fields(words) {
		long := measureTo(word, size, isBold, width)
		if line != "" && used+space+long <= width {
			line, used = line+" "+word, used+space+long
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		for long > width && utf8.RuneCountInString(word) > 1 {
			head := headOf(word, size, isBold, width)
			out, word = append(out, word[:head]), word[head:]
			long = measureTo(word, size, isBold, width)
		}
		line, used = word, long
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// measureTo is how wide a word is, or how wide its beginning is where that is wider than
// a width: of a long word no line looks at more than it takes.
func measureTo(word string, size float64, isBold bool, width float64) float64 {
	t := faceOf(isBold)
	sum := 0.0
	for _, r := range word {
		for _, written := range Written(string(r)) {
			sum += t.advance(written)
		}
		if sum*size > width {
			break
		}
	}
	return sum * size
}

// headOf is how many bytes of a word, at least one letter, fit a width.
func headOf(word string, size float64, isBold bool, width float64) int {
	used := 0.0
	for i, r := range word {
		if used += Measure(string(r), size, isBold); i > 0 && used > width {
			return i
		}
	}
	return len(word)
}

// Shortened cuts text with an ellipsis to fit a width.
func Shortened(words string, size float64, isBold bool, width float64) string {
	if beyond(words) {
		return shortenedWide(words, size, isBold, width)
	}
	if Measure(words, size, isBold) <= width {
		return words
	}
	room := width - Measure("…", size, isBold)
	used := 0.0
	for i, r := range words {
		if used += Measure(string(r), size, isBold); used > room {
			return strings.TrimRight(words[:i], " ") + "…"
		}
	}
	return words
}
