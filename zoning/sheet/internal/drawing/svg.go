package drawing

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"image/color"
	"image/png"
	"math"
	"strconv"
	"strings"
)

// SVG writes shapes as elements of an SVG 1.1 image whose user unit is a point.
// They bear no style attributes, which a strict content security policy forbids,
// and refer to nothing outside.
func SVG(shapes []Shape) string {
	var b strings.Builder
	for _, s := range shapes {
		switch s := s.(type) {
		case Path:
			fmt.Fprintf(&b, `<path d="%s"%s/>`, pathData(s.Lines, s.Closed, s.steps()), s.look())
		case Text:
			b.WriteString(s.svg())
		case Picture:
			fmt.Fprintf(&b, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" href="data:image/png;base64,%s"/>`,
				num(s.Box.Left), num(s.Box.Top), num(s.Box.Width()), num(s.Box.Height()), base64.StdEncoding.EncodeToString(s.png()))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// svg is a line of text in the reader's own font where the Go fonts hold it, and in pieces
// otherwise: a reader may have no font for the rest of its letters.
func (t Text) svg() string {
	pieces := t.pieces()
	if pieces == nil {
		return fmt.Sprintf(`<text x="%s" y="%s" font-size="%s"%s%s fill="%s">%s</text>`, num(t.At.X), num(t.At.Y), num(t.Size),
			[]string{"", ` text-anchor="middle"`, ` text-anchor="end"`}[t.Anchor], boldSVG(t.Bold), hex(t.Colour), escaped(t.Words))
	}
	var b strings.Builder
	for _, p := range pieces {
		b.WriteString(p.svg())
	}
	return b.String()
}

// svg is a piece as wide as it was measured. Letters beyond the Go fonts are outlines under
// text that is not seen, to be found, marked and read aloud.
func (p piece) svg() string {
	seen := ""
	if !p.plain {
		var lines [][]Point
		for _, g := range p.glyphs {
			lines = append(lines, g.Lines...)
		}
		if lines != nil {
			seen = fmt.Sprintf(`<path d="%s" fill="%s"/>`, pathData(lines, true, perFine), hex(p.Colour))
		}
	}
	words := strings.TrimLeft(p.Words, " ")
	space := Measure(" ", p.Size, p.Bold)
	if p.plain { // XML readers leave out spaces at the ends
		p.At.X += space * float64(len(p.Words)-len(words))
		p.width -= space * float64(len(p.Words)-len(strings.Trim(p.Words, " ")))
	}
	if words = strings.TrimRight(words, " "); words == "" {
		return seen
	}
	hidden := ""
	if !p.plain {
		hidden = ` fill-opacity="0"`
	}
	return seen + fmt.Sprintf(`<text x="%s" y="%s" font-size="%s"%s fill="%s"%s textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`,
		num(p.At.X), num(p.At.Y), num(p.Size), boldSVG(p.Bold), hex(p.Colour), hidden, num(p.width), escaped(words))
}

// escaped is text as XML holds it: without bytes that are no UTF-8 and characters that XML
// 1.0 forbids (section 2.2), which end the reading of the whole image.
func escaped(words string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		switch {
		case r < 0x20 && r != '\t' && r != '\n', r == 0x7F, r == 0xFFFE, r == 0xFFFF:
			return -1
		}
		return r
	}, strings.ToValidUTF8(words, "")))
}

func boldSVG(is bool) string {
	if is {
		return ` font-weight="700"`
	}
	return ""
}

// look is a path's paint as attributes.
func (p Path) look() string {
	out := ` fill="none"`
	if p.Fill.Opacity > 0 {
		out = ` fill="` + hex(p.Fill.Colour) + `"`
		if p.Fill.Opacity < 1 {
			out += ` fill-opacity="` + num(p.Fill.Opacity) + `"`
		}
	}
	if p.Stroke.Opacity > 0 && p.Width > 0 {
		out += fmt.Sprintf(` stroke="%s" stroke-width="%s" stroke-linecap="round" stroke-linejoin="round"`, hex(p.Stroke.Colour), num(p.Width))
		if p.Stroke.Opacity < 1 {
			out += ` stroke-opacity="` + num(p.Stroke.Opacity) + `"`
		}
		if p.Dash != nil {
			dash := make([]string, len(p.Dash))
			for i, d := range p.Dash {
				dash[i] = num(d)
			}
			out += ` stroke-dasharray="` + strings.Join(dash, " ") + `"`
		}
	}
	return out
}

// perPoint is the steps to which coordinates are written: a twentieth of a point is
// 18 µm on paper.
const perPoint = 20

// perFine is that of letters, whose parts are smaller.
const perFine = 100

// steps is to how many parts of a point a path is written.
func (p Path) steps() float64 {
	if p.fine {
		return perFine
	}
	return perPoint
}

// PathData writes lines as the data of an SVG path.
func PathData(lines [][]Point, closed bool) string { return pathData(lines, closed, perPoint) }

func pathData(lines [][]Point, closed bool, steps float64) string {
	var b []byte
	for _, line := range lines {
		lastX, lastY := 0.0, 0.0
		for i, p := range line {
			x, y := math.Round(p.X*steps), math.Round(p.Y*steps)
			switch {
			case i == 0:
				b = append(b, 'M')
			case x == lastX && y == lastY && i > 1:
				continue
			default:
				b = append(b, 'l')
			}
			b = appendSteps(b, x-lastX, steps)
			b = append(b, ' ')
			b = appendSteps(b, y-lastY, steps)
			lastX, lastY = x, y
		}
		if closed {
			b = append(b, 'z')
		}
	}
	return string(b)
}

func appendSteps(b []byte, moved, steps float64) []byte {
	return strconv.AppendFloat(b, moved/steps, 'f', -1, 64)
}

// num writes a number with at most two decimals.
func num(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func (p Picture) png() []byte {
	var b bytes.Buffer
	// To memory, of an image that is there: nothing can fail.
	_ = (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, p.Image)
	return b.Bytes()
}
