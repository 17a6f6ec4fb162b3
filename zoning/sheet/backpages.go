package sheet

import (
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// back are the pages after the first, and the scale of their text. Where one does not hold all
// of it, text shrinks a little; then the picture of the worst danger is left to the screen. Where
// that is not enough there is a third page, and then lists are cut short, and say so. Cautions
// never are.
func (p *Page) back(t totals, all contents) ([]drawing.Page, float64) {
	for i := range all.of(acresSection).Tables {
		all.of(acresSection).Tables[i].Printed = manyLotRows
	}
	for _, side := range []bool{true, false} {
		for scale := 1.0; scale >= leastScale; scale -= scaleStep {
			page, c := p.blankBack(t, scale)
			p.setWork(c, all)
			p.setRemarks(c, all)
			if c.fits(page) && (!side || c.sideIfRoom(all)) {
				return []drawing.Page{*page}, scale
			}
		}
	}
	work := p.within(t, func(c *column) { p.setWork(c, all) }, all.of(planSection))
	remarks := p.within(t, func(c *column) { p.setRemarks(c, all) }, all.of(assumedSection))
	if !work.sideIfRoom(all) {
		remarks.sideIfRoom(all)
	}
	return []drawing.Page{*work.page, *remarks.page}, 1
}

// within sets a page, and cuts a list short until it fits.
func (p *Page) within(t totals, set func(c *column), list *section) *column {
	for {
		page, c := p.blankBack(t, 1)
		set(c)
		if c.fits(page) || !shorten(list) {
			return c
		}
	}
}

// blankBack is a page under the sheet's title.
func (p *Page) blankBack(t totals, scale float64) (*drawing.Page, *column) {
	page, c := p.blank()
	c.page, c.scale = &page, scale
	c.text(c.x, drawing.Left, bodySize, true, palette.Ink, p.title(t))
	c.gap(bodySize * 1.6)
	return &page, c
}

// fits reports whether a column ends above the foot of its page.
func (c *column) fits(page *drawing.Page) bool { return c.y <= page.Height-pageMargin-footTall }

// setWork writes acres and plan.
func (p *Page) setWork(c *column, all contents) {
	c.section(*all.of(acresSection), bodySize)
	c.section(*all.of(planSection), bodySize)
}

// setRemarks writes what was assumed beside cautions, and what is filled in by hand.
func (p *Page) setRemarks(c *column, all contents) {
	half := (c.width - columnGap) / 2
	left := &column{page: c.page, x: c.x, y: c.y, width: half, scale: c.scale}
	left.section(*all.of(assumedSection), fineSize)
	right := &column{page: c.page, x: c.x + half + columnGap, y: c.y, width: half, scale: c.scale}
	right.section(*all.of(cautionsSection), fineSize)
	c.y = max(left.y, right.y)
	left.y, right.y = c.y, c.y
	left.section(*all.of(emergencySection), bodySize)
	right.section(*all.of(walkedSection), bodySize)
	c.y = max(left.y, right.y)
}
