package sheet

import (
	"image/color"
	"strconv"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Sizes of text on paper, in points.
const (
	titleSize    = 17.0
	sentenceSize = 12.5
	headingSize  = 8.5
	bodySize     = 7.8
	fineSize     = 7.4
	leading      = 1.25 // lines of text, in parts of its size
)

// column is text set on a page from the top down.
type column struct {
	page        *drawing.Page
	x, y, width float64
	scale       float64 // of its sizes
}

// text writes one line whose top is where the column stands.
func (c *column) text(x float64, anchor drawing.Anchor, size float64, bold bool, colour color.RGBA, words string) {
	size *= c.scale
	c.page.Add(drawing.Text{At: drawing.Point{X: x, Y: c.y + size*(leading-1)/2 + size*drawing.Ascent}, Anchor: anchor,
		Size: size, Bold: bold, Colour: colour, Words: words})
}

// paragraph writes folded text, set in by so much.
func (c *column) paragraph(words string, size float64, bold bool, in float64) {
	for _, l := range drawing.Fold(words, size*c.scale, bold, c.width-in) {
		c.text(c.x+in, drawing.Left, size, bold, palette.Ink, l)
		c.y += size * leading * c.scale
	}
}

func (c *column) gap(points float64) { c.y += points * c.scale }

// rule draws a line across the column.
func (c *column) rule(width float64) {
	c.page.Add(drawing.Path{Lines: [][]drawing.Point{{{X: c.x, Y: c.y}, {X: c.x + c.width, Y: c.y}}}, Stroke: drawing.Solid(palette.Ink), Width: width})
}

func (c *column) heading(words string) {
	c.text(c.x, drawing.Left, headingSize, true, palette.Ink, words)
	c.y += headingSize * leading * c.scale
	c.rule(0.6)
	c.gap(2.5)
}

// section writes all of a section but its map.
func (c *column) section(s section, size float64) {
	c.heading(s.Heading)
	for _, l := range s.Lines {
		c.paragraph(l, size, false, 0)
		c.gap(0.8)
	}
	for _, t := range s.Tables {
		c.table(t, size)
		c.gap(4)
	}
	c.figures(s.Figures)
	c.items(s.onPaper(), size)
	c.blanks(s.Blanks, size)
	c.gap(5)
}

// items writes a list, a dash before each.
func (c *column) items(items []string, size float64) {
	in := size * c.scale
	for _, i := range items {
		c.text(c.x, drawing.Left, size, false, palette.Ink, "–")
		c.paragraph(i, size, false, in)
		c.gap(0.8)
	}
}

// numbered writes a list with the numbers that it has on the map.
func (c *column) numbered(items []string, size float64) {
	scale := c.scale * size / bodySize
	in := 18 * scale
	c.gap(0.45 * size) // below a rule
	for i, words := range items {
		c.page.Add(dangerSign(drawing.Point{X: c.x + 7.4*scale, Y: c.y + size*leading*c.scale/2}, scale, strconv.Itoa(i+1))...)
		c.paragraph(words, size, false, in)
		c.gap(0.7 * size) // the sign is taller than a line
	}
}

// blanks leaves lines to write on.
func (c *column) blanks(labels []string, size float64) {
	for _, l := range labels {
		c.gap(4)
		c.text(c.x, drawing.Left, size, false, palette.Ink, l)
		from := c.x + drawing.Measure(l, size*c.scale, false) + 4
		c.y += size * leading * c.scale
		c.page.Add(drawing.Path{Lines: [][]drawing.Point{{{X: from, Y: c.y - 1}, {X: c.x + c.width, Y: c.y - 1}}}, Stroke: drawing.Solid(palette.Ink), Width: 0.5})
	}
}

// Space between the columns of a table, and the least width of words.
const (
	widestGutter = 9.0
	leastGutter  = 4.5
	leastWords   = 50.0
)

// table writes cells in columns as wide as their widest; words shrink to what is
// left.
func (c *column) table(t table, size float64) {
	if more := t.More(); more != "" {
		row := make([]string, len(t.Rows[0]))
		row[0] = more
		t.Rows = append(t.Rows[:t.Printed+1:t.Printed+1], row)
	}
	widths := make([]float64, len(t.Rows[0]))
	sum := 0.0
	for i, row := range t.Rows {
		for k, cell := range row {
			widths[k] = max(widths[k], drawing.Measure(cell, size*c.scale, i == 0))
		}
	}
	for _, w := range widths {
		sum += w
	}
	between := min(widestGutter*c.scale, (c.width-sum)/float64(max(len(widths)-1, 1)))
	if between < leastGutter {
		over := sum + leastGutter*float64(len(widths)-1) - c.width
		between = leastGutter
		for k := range t.Words {
			widths[k] = max(widths[k]-over/float64(t.Words), leastWords)
		}
	}
	for i, row := range t.Rows {
		bold := i == 0 || t.Total && i == len(t.Rows)-1
		if i > 0 && bold {
			c.rule(0.5)
			c.gap(1)
		}
		x := c.x
		for k, cell := range row {
			if k < t.Words {
				c.text(x, drawing.Left, size, bold, palette.Ink, drawing.Shortened(cell, size*c.scale, bold, widths[k]))
			} else {
				c.text(x+widths[k], drawing.Right, size, bold, palette.Ink, cell)
			}
			x += widths[k] + between
		}
		c.y += size * leading * c.scale
		if i == 0 {
			c.rule(0.4)
			c.gap(1.2)
		}
	}
}

// key writes signs and what they mean in so many columns.
func (c *column) key(entries []keyEntry, columns int, size float64) {
	const between = 12.0
	width := (c.width - between*float64(columns-1)) / float64(columns)
	tall := func(e keyEntry) float64 {
		cell := &column{page: &drawing.Page{}, width: width, scale: c.scale}
		cell.keyEntry(e, size)
		return cell.y
	}
	whole := 0.0
	for _, e := range entries {
		whole += tall(e)
	}
	top, end := c.y, c.y
	cell := &column{page: c.page, x: c.x, y: top, width: width, scale: c.scale}
	for i, e := range entries {
		h := tall(e)
		if cell.y > top && cell.y+h/2-top > whole/float64(columns) && cell.x+width < c.x+c.width-1 && i > 0 {
			cell.x, cell.y = cell.x+width+between, top
		}
		cell.keyEntry(e, size)
		end = max(end, cell.y)
	}
	c.y = end
}

func (c *column) keyEntry(e keyEntry, size float64) {
	const in = keyWide + 6
	top := c.y
	c.page.Add(drawing.Moved(e.swatch, drawing.Point{X: c.x, Y: c.y + 1})...)
	words := &column{page: c.page, x: c.x, y: c.y, width: c.width, scale: c.scale}
	if acres := e.acres + " " + e.units.ShortArea(); e.acres != "" {
		c.text(c.x+c.width, drawing.Right, size, true, palette.Ink, acres)
		words.width -= drawing.Measure(acres, size*c.scale, true) + 4
	}
	words.paragraph(e.words, size, true, in)
	c.y = words.y
	if e.more != "" {
		c.paragraph(e.more, size, false, in)
	}
	c.y = max(c.y, top+keyTall+1) + 1.5*c.scale
}

// figures draws pictures side by side.
func (c *column) figures(all []*figure) {
	x, tall := c.x, 0.0
	for _, f := range all {
		c.page.Add(drawing.Moved(f.shapes, drawing.Point{X: x, Y: c.y})...)
		x, tall = x+f.Width+columnGap, max(tall, f.Height)
	}
	if tall > 0 {
		c.y += tall
		c.gap(4)
	}
}
