package sheet

import (
	"image"
	"image/color"
	"math"

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

// bold reports whether a style is set in bold letters.
func (s style) bold() bool { return s == titleStyle || s == boldStyle || s == smallBoldStyle }

// width is how many pixels a line of text takes.
func (s style) width(words string) int {
	return int(math.Ceil(drawing.Measure(words, stylePx[s], s.bold())))
}

// fitted shortens text with an ellipsis to fit a width.
func (s style) fitted(words string, width int) string {
	return drawing.Shortened(words, stylePx[s], s.bold(), float64(width))
}

// folded breaks words at spaces into lines that fit a width, and words that are
// longer than a line anywhere. Nothing is left out.
func (s style) folded(words string, width int) []string {
	return drawing.Fold(drawing.Written(text.OneLine(words)), stylePx[s], s.bold(), float64(width))
}

// How far a line of the Go fonts reaches above and below its baseline, in parts of
// its size: ascender and descender of their hhea table.
const lineAscent, lineDescent = 1935.0 / 2048, 432.0 / 2048

// ascent and descent are how many pixels a style reaches above and below its baseline.
func (s style) ascent() int  { return int(math.Ceil(stylePx[s] * lineAscent)) }
func (s style) descent() int { return int(math.Ceil(stylePx[s] * lineDescent)) }

// caption is one line of a page: at is the left end of its baseline.
type caption struct {
	at     image.Point
	style  style
	colour color.RGBA
	words  string
	box    image.Rectangle // what it may touch
}
