package sheet

import (
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// Measures of paper, in points.
const (
	pageMargin  = 34.0
	footTall    = 18.0
	columnGap   = 16.0
	leastMap    = 250.0 // height that is kept for the map
	leastScale  = 0.95  // of text: the smallest stays 7 points
	scaleStep   = 0.01
	keyColumns  = 3
	fewestLeft  = 3 // items of a list that is cut short
	mapGap      = 5.0
	barsTall    = 34.0
	keySize     = 7.4
	manyLotRows = 24
)

// besideShares are the parts of the page's width that a map with its key beside it may
// have.
var besideShares = []float64{0.74, 0.7, 0.66, 0.62}

// WritePDF writes the sheet as a PDF of two pages, or three where its words need them. It is made on [Page.Date] as far as
// the file knows, so that the same input gives the same bytes.
func (p *Page) WritePDF(w io.Writer) error {
	l, err := p.layOut(true)
	if err != nil {
		return err
	}
	return l.writePDF(w)
}

func (l *laid) writePDF(w io.Writer) error {
	return drawing.WritePDF(w, drawing.Document{Title: l.title(l.totals), Lang: "en-US", Made: l.made()}, l.printed())
}

// printed are the pages of the sheet on paper.
func (l *laid) printed() []drawing.Page {
	pages := append([]drawing.Page{l.printedFront()}, l.back...)
	for i := range pages {
		pages[i].Shapes = slices.Clip(pages[i].Shapes)
		l.foot(&pages[i], i+1, len(pages))
	}
	return pages
}

// made is the date of the sheet; a day long past where it is none.
func (p *Page) made() time.Time {
	for _, layout := range []string{"2006-01-02", "2006-01", "2006"} {
		if d, err := time.Parse(layout, p.Date); err == nil {
			return d
		}
	}
	return time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
}

func (p *Page) blank() (drawing.Page, *column) {
	w, h := p.Paper.size()
	page := drawing.Page{Width: w, Height: h}
	return page, &column{x: pageMargin, y: pageMargin, width: w - 2*pageMargin, scale: 1}
}

// front is the first page as far as it is set before the map is drawn: what a crew must
// know before it turns the page, and where the map goes.
type front struct {
	page   drawing.Page
	column *column // stands where the map begins
	scale  float64 // of text
	width  float64 // of the map
	tall   float64
	beside bool // whether its key stands beside it: lots that run north and south leave room there
}

// front sets what stands over the map. Where there is little room for it, text shrinks
// as far as it can be read.
func (p *Page) front(t totals, all contents) (*front, error) {
	w, _ := p.Paper.size()
	m, err := newJobMap(p, t, w-2*pageMargin, (w-2*pageMargin)/2)
	if err != nil {
		return nil, err
	}
	m.marks(wideText) // they have a part in the key
	for scale := 1.0; ; scale -= scaleStep {
		f := &front{scale: scale}
		f.page, f.column = p.blank()
		c := f.column
		c.page, c.scale = &f.page, scale
		p.head(c, t)
		for _, l := range all.of(placeSection).Lines {
			c.paragraph(l, bodySize, false, 0)
		}
		c.gap(5)
		c.paragraph(all.of(outlookSection).Lines[0], sentenceSize, true, 0)
		c.gap(1)
		for _, l := range all.of(outlookSection).Lines[1:] {
			c.paragraph(l, bodySize, false, 0)
		}
		for _, a := range all.of(outlookSection).onPaper() {
			c.paragraph(a, bodySize, true, 0)
		}
		c.gap(5)
		c.heading(all.of(dangersSection).Heading)
		c.numbered(all.of(dangersSection).Items, bodySize)
		for _, l := range all.of(dangersSection).Lines {
			c.paragraph(l, bodySize, false, 0)
		}
		c.gap(4)
		p.fitMap(t, all, f, m)
		if f.tall >= leastMap {
			return f, nil
		}
		if scale-scaleStep < leastScale {
			if f.tall < leastMap/2 && shorten(all.of(outlookSection)) {
				scale += scaleStep // the same again
				continue
			}
			f.tall = max(f.tall, leastMap/2)
			return f, nil
		}
	}
}

// fitMap finds room for a map, with its key below or beside it: whichever lets the
// ground be drawn larger.
func (p *Page) fitMap(t totals, all contents, f *front, m *jobMap) {
	f.width = f.column.width
	facts := &column{page: &drawing.Page{}, width: f.width, scale: f.scale}
	p.facts(facts, all)
	free := f.page.Height - pageMargin - footTall - f.column.y - facts.y - mapGap - barsTall
	key := func(width float64, columns int) float64 {
		c := &column{page: &drawing.Page{}, width: width, scale: f.scale}
		c.key(m.signs(t), columns, keySize)
		return c.y
	}
	metres := func(width, tall float64) float64 {
		per, _ := m.fit(width, tall)
		return per
	}
	f.tall = free - key(f.width, keyColumns) - mapGap
	best, whole := metres(f.width, max(f.tall, 1)), f.width
	for _, share := range besideShares {
		if width := share * whole; key(whole-width-columnGap, 1) <= free && (f.tall < leastMap || metres(width, free) < best) {
			f.beside, f.width, f.tall, best = true, width, free, metres(width, free)
		}
	}
	// No taller than the ground needs, where it is its width that counts.
	_, needs := m.fit(f.width, f.tall)
	f.tall = min(f.tall, max(leastMap, needs))
}

// printedFront is the first page with the map and what goes with it.
func (l *laid) printedFront() drawing.Page {
	f, m := l.front, l.m
	page, c := f.page, *f.column
	page.Shapes, c.page = slices.Clip(page.Shapes), &page
	page.Add(drawing.Moved(m.shapes(l.wide), drawing.Point{X: c.x, Y: c.y})...)
	end := 0.0 // of the key, where it is beside the map
	if f.beside {
		aside := &column{page: &page, x: c.x + f.width + columnGap, y: c.y, width: c.width - f.width - columnGap, scale: f.scale}
		aside.key(l.wideKey, 1, keySize)
		end = aside.y
	}
	c.y += f.tall + mapGap
	bars := &column{page: &page, x: c.x, y: c.y, width: f.width, scale: f.scale}
	m.bars(bars)
	c.y = max(bars.y, end)
	if !f.beside {
		c.key(l.wideKey, keyColumns, keySize)
		c.y += mapGap
	}
	l.facts(&c, l.contents)
	return page
}

// facts writes the ground condition and the elevation side by side.
func (p *Page) facts(c *column, all contents) {
	half := (c.width - columnGap) / 2
	left := &column{page: c.page, x: c.x, y: c.y, width: half, scale: c.scale}
	left.section(*all.of(groundSection), keySize)
	right := &column{page: c.page, x: c.x + half + columnGap, y: c.y, width: half, scale: c.scale}
	right.section(*all.of(elevationSection), keySize)
	c.y = max(left.y, right.y)
}

func (p *Page) head(c *column, t totals) {
	if p.Date != "" {
		c.text(c.x+c.width, drawing.Right, bodySize, false, palette.Ink, text.OneLine(p.Date))
	}
	c.text(c.x, drawing.Left, titleSize, true, palette.Ink, p.titleIn(t, titleSize*c.scale, c.width-90))
	c.y += titleSize * leading * c.scale
	c.rule(1.4)
	c.gap(4)
}

// titleIn is the title at a size, its name shortened to a width: never the view.
func (p *Page) titleIn(t totals, size, width float64) string {
	view := p.view()
	return drawing.Shortened(t.name, size, true, width-drawing.Measure(view, size, true)) + view
}

func (p *Page) foot(page *drawing.Page, number, of int) {
	c := &column{page: page, x: pageMargin, y: page.Height - pageMargin - bodySize, width: page.Width - 2*pageMargin, scale: 1}
	c.rule(0.6)
	c.gap(2)
	c.text(c.x, drawing.Left, bodySize, true, palette.Ink, caution)
	c.text(c.x+c.width, drawing.Right, bodySize, false, palette.Ink, fmt.Sprintf("page %d of %d", number, of))
}

// shorten takes one more item of a list off paper, and tells whether there was one to
// take.
func shorten(s *section) bool {
	if s.Printed == 0 {
		s.Printed = len(s.Items)
	}
	if s.Printed <= fewestLeft {
		return false
	}
	s.Printed--
	return true
}

// onPaper are the items of a list that there is room for on paper, and how many more there are.
func (s section) onPaper() []string {
	if more := s.More(); more != "" {
		return append(s.Items[:s.Printed:s.Printed], more)
	}
	return s.Items
}

// More says how many items are not on paper; "" where all are.
func (s section) More() string { return moreWords(len(s.Items), s.Printed) }

// More says how many rows are not on paper, beside the heading; "" where all are.
func (t table) More() string { return moreWords(len(t.Rows)-1, t.Printed) }

func moreWords(all, printed int) string {
	if printed == 0 || all <= printed {
		return ""
	}
	return fmt.Sprintf("and %d more: see the sheet on a screen", all-printed)
}
