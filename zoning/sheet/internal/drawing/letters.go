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
	sync.Mutex
	buffer   sfnt.Buffer
	advances map[rune]float64 // in parts of the size; below 0 for a letter it does not hold
}

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
	return &typeface{file: file, font: f, advances: map[rune]float64{}}
}

// advance is how far a letter moves on, in parts of its size.
func (t *typeface) advance(r rune) float64 {
	t.Lock()
	defer t.Unlock()
	a, known := t.advances[r]
	if known {
		return a
	}
	a = -1
	if glyph, err := t.font.GlyphIndex(&t.buffer, r); err == nil && glyph != 0 {
		em := fixed.I(int(t.font.UnitsPerEm()))
		if w, err := t.font.GlyphAdvance(&t.buffer, glyph, em, font.HintingNone); err == nil {
			a = float64(w) / float64(em)
		}
	}
	t.advances[r] = a
	return a
}

// Measure is how wide a line of text is.
func Measure(words string, size float64, isBold bool) float64 {
	t := faceOf(isBold)
	sum := 0.0
	for _, r := range Written(words) {
		sum += t.advance(r)
	}
	return sum * size
}

// Fold breaks text at spaces into lines that fit a width, and words that are
// longer than a line anywhere. Nothing is left out.
func Fold(words string, size float64, isBold bool, width float64) []string {
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
