package drawing

import (
	"image"
	"image/color"
	"math"
)

// Point is a place on a page.
type Point struct{ X, Y float64 }

// Box is a rectangle with its sides along those of the page.
type Box struct{ Left, Top, Right, Bottom float64 }

// Around is the box of a width and height around a middle.
func Around(middle Point, width, height float64) Box {
	return Box{middle.X - width/2, middle.Y - height/2, middle.X + width/2, middle.Y + height/2}
}

// Width and Height are the box's sides.
func (b Box) Width() float64  { return b.Right - b.Left }
func (b Box) Height() float64 { return b.Bottom - b.Top }

// Middle is the box's middle.
func (b Box) Middle() Point { return Point{(b.Left + b.Right) / 2, (b.Top + b.Bottom) / 2} }

// Inset is the box with its sides moved in.
func (b Box) Inset(by float64) Box { return Box{b.Left + by, b.Top + by, b.Right - by, b.Bottom - by} }

// Meets reports whether two boxes have ground in common.
func (b Box) Meets(o Box) bool {
	return b.Left < o.Right && o.Left < b.Right && b.Top < o.Bottom && o.Top < b.Bottom
}

// Holds reports whether another box lies in it.
func (b Box) Holds(o Box) bool {
	return o.Left >= b.Left && o.Right <= b.Right && o.Top >= b.Top && o.Bottom <= b.Bottom
}

// Has reports whether a point lies in the box.
func (b Box) Has(p Point) bool {
	return p.X >= b.Left && p.X <= b.Right && p.Y >= b.Top && p.Y <= b.Bottom
}

// nowhere is the box of no points.
var nowhere = Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

// with is the box with a point in it.
func (b Box) with(p Point) Box {
	return Box{min(b.Left, p.X), min(b.Top, p.Y), max(b.Right, p.X), max(b.Bottom, p.Y)}
}

// Ring goes round the box.
func (b Box) Ring() []Point {
	return []Point{{b.Left, b.Top}, {b.Right, b.Top}, {b.Right, b.Bottom}, {b.Left, b.Bottom}}
}

// Shape is a [Path], a [Text] or a [Picture].
type Shape interface{ shape() }

// Page is a drawing of a size.
type Page struct {
	Width, Height float64
	Shapes        []Shape
}

// Add lays shapes over those that are there.
func (p *Page) Add(shapes ...Shape) { p.Shapes = append(p.Shapes, shapes...) }

// Paint is a colour laid on with an opacity of 0 to 1. The zero value is none.
type Paint struct {
	Colour  color.RGBA
	Opacity float64
}

// Solid is a colour that hides what is under it.
func Solid(c color.RGBA) Paint { return Paint{c, 1} }

// Path is lines, drawn, filled, or both. Ends and joints are round.
type Path struct {
	Lines  [][]Point
	Closed bool  // each line comes back to its first point
	Fill   Paint // by nonzero winding: holes wind the other way
	Stroke Paint
	Width  float64   // of the stroke
	Dash   []float64 // lengths drawn and left out in turn; nil draws all
	fine   bool      // of letters: written to a hundredth of a point
}

// Anchor says which part of a text stands at its place.
type Anchor int

// Anchors.
const (
	Left Anchor = iota
	Middle
	Right
)

// Text is one line of text, At its baseline.
type Text struct {
	At     Point
	Anchor Anchor
	Size   float64
	Bold   bool
	Colour color.RGBA
	Words  string
}

// left is where the text begins.
func (t Text) left() float64 {
	return t.At.X - float64(t.Anchor)/2*Measure(t.Words, t.Size, t.Bold)
}

// Picture is an image in a box. Its pixels are sharp squares.
type Picture struct {
	Box   Box
	Image *image.Paletted
	Words string // says what is on it, for whom it cannot be seen
}

func (Path) shape()    {}
func (Text) shape()    {}
func (Picture) shape() {}

// Moved is shapes moved right and down.
func Moved(shapes []Shape, by Point) []Shape {
	out := make([]Shape, len(shapes))
	for i, s := range shapes {
		switch s := s.(type) {
		case Path:
			lines := make([][]Point, len(s.Lines))
			for k, line := range s.Lines {
				lines[k] = make([]Point, len(line))
				for n, p := range line {
					lines[k][n] = Point{p.X + by.X, p.Y + by.Y}
				}
			}
			s.Lines = lines
			out[i] = s
		case Text:
			s.At = Point{s.At.X + by.X, s.At.Y + by.Y}
			out[i] = s
		case Picture:
			s.Box = Box{s.Box.Left + by.X, s.Box.Top + by.Y, s.Box.Right + by.X, s.Box.Bottom + by.Y}
			out[i] = s
		}
	}
	return out
}
