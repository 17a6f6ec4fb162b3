package sheet

import (
	"fmt"
	"image"
	"image/color"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// style is a size and weight of text.
type style int

const (
	titleStyle style = iota
	boldStyle
	bodyStyle
	smallStyle
	smallBoldStyle
	styles
)

// Sizes in pixels.
var stylePx = [styles]float64{titleStyle: 27, boldStyle: 16, bodyStyle: 16, smallStyle: 13.5, smallBoldStyle: 13.5}

var fonts = sync.OnceValues(func() (*[2]*opentype.Font, error) {
	var both [2]*opentype.Font
	for i, ttf := range [][]byte{goregular.TTF, gobold.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return nil, fmt.Errorf("the built-in font cannot be read: %w", err)
		}
		both[i] = f
	}
	return &both, nil
})

// overhang is how many pixels letters may reach out of the box of their text.
const overhang = 2

// letters measures and draws text. It is for one goroutine.
type letters [styles]font.Face

func newLetters() (*letters, error) {
	both, err := fonts()
	if err != nil {
		return nil, err
	}
	var l letters
	for s := range styles {
		f := both[0]
		if s == titleStyle || s == boldStyle || s == smallBoldStyle {
			f = both[1]
		}
		face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: stylePx[s], DPI: 72})
		if err != nil {
			return nil, fmt.Errorf("the built-in font cannot be set at %g px: %w", stylePx[s], err)
		}
		l[s] = &typeset{Face: face, glyphs: map[glyphAt]*glyph{}}
	}
	return &l, nil
}

// width is how many pixels a line of text takes, which is to be in the font's letters.
func (l *letters) width(s style, text string) int { return font.MeasureString(l[s], text).Ceil() }

// fitted shortens text with an ellipsis to fit a width.
func (l *letters) fitted(s style, text string, width int) string {
	head := l.upTo(s, text, width)
	if len(head) == len(text) && l.width(s, text) <= width {
		return text
	}
	runes := []rune(head)
	for n := len(runes) - 1; n > 0; n-- {
		if short := strings.TrimRight(string(runes[:n]), " ") + "…"; l.width(s, short) <= width {
			return short
		}
	}
	return "…"
}

// upTo is the beginning of a text, at least as much of it as fits a width: what is measured
// again and again is then no longer than a line.
func (l *letters) upTo(s style, text string, width int) string {
	var used fixed.Int26_6
	most := fixed.I(width + 2*int(stylePx[s])) // kerning takes less than a letter back
	before := rune(-1)
	for i, r := range text {
		if before >= 0 {
			used += l[s].Kern(before, r)
		}
		a, _ := l[s].GlyphAdvance(r)
		if used += a; used > most {
			return text[:i]
		}
		before = r
	}
	return text
}

// folded breaks words at spaces into lines that fit a width, and words that are
// longer than a line anywhere. Nothing is left out.
func (l *letters) folded(s style, words string, width int) []string {
	var out []string
	line := ""
	var used fixed.Int26_6 // measured word by word: the whole line each time is slow
	for _, word := range strings.Fields(drawing.Written(text.OneLine(words))) {
		if line != "" {
			more := font.MeasureString(l[s], " "+l.upTo(s, word, width))
			if (used + more).Ceil() <= width {
				line, used = line+" "+word, used+more
				continue
			}
			out = append(out, line)
		}
		line = word
		for l.width(s, l.upTo(s, line, width)) > width && utf8.RuneCountInString(line) > 1 {
			head := l.fitting(s, line, width)
			out, line = append(out, line[:head]), line[head:]
		}
		used = font.MeasureString(l[s], l.upTo(s, line, width))
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// fitting is how many bytes of a word, at least one letter, fit a width.
func (l *letters) fitting(s style, word string, width int) int {
	fit := 0
	for i := range word {
		if i > 0 && l.width(s, word[:i]) > width {
			break
		}
		fit = i
	}
	if fit == 0 {
		_, fit = utf8.DecodeRuneInString(word)
	}
	return fit
}

// ascent and descent are how far a style reaches above and below its baseline.
func (l *letters) ascent(s style) int  { return l[s].Metrics().Ascent.Ceil() }
func (l *letters) descent(s style) int { return l[s].Metrics().Descent.Ceil() }

// draw writes a line of text with a brush of its colour.
func (l *letters) draw(img *image.Paletted, t caption, b *brush) {
	drawn := image.NewRGBA(t.box.Inset(-overhang).Intersect(img.Rect))
	d := font.Drawer{Dst: drawn, Src: image.Opaque, Face: l[t.style], Dot: fixed.P(t.at.X, t.at.Y)}
	d.DrawString(t.words)
	for y := drawn.Rect.Min.Y; y < drawn.Rect.Max.Y; y++ {
		line := img.Pix[img.PixOffset(drawn.Rect.Min.X, y):]
		row := drawn.Pix[drawn.PixOffset(drawn.Rect.Min.X, y):][:drawn.Stride]
		for i := 3; i < len(row); i += 4 {
			if a := int(row[i]); a > 0 {
				line[i/4] = b.over(line[i/4], (a*covers+0x7F)/0xFF)
			}
		}
	}
}

// text is one line of a page: at is the left end of its baseline.
type caption struct {
	at     image.Point
	style  style
	colour color.RGBA
	words  string
	box    image.Rectangle // what it may touch
}
