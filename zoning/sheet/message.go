package sheet

import (
	"image/png"
	"io"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Measures of the picture for messages, which is shown about a hand wide.
const (
	messageWide  = 540.0 // points
	messageRoom  = 16.0
	messagePx    = 2.0 // pixels in a point
	messageTitle = 21.0
	messageWords = 14.0
	messageKey   = 11.5
	messageTall  = 620.0 // of the map, at most
	messageLeast = 360.0 // unless the ground is flatter
	messageFlat  = 200.0
)

// WritePNG writes the map alone for messages: its name, the sentence, the map and its
// key, in text that is read on a phone.
func (p *Page) WritePNG(w io.Writer) error {
	p, t, err := p.ready(true)
	if err != nil {
		return err
	}
	page := drawing.Page{Width: messageWide}
	c := &column{page: &page, x: messageRoom, y: messageRoom, width: messageWide - 2*messageRoom, scale: 1}
	c.paragraph(p.title(t), messageTitle, true, 0)
	c.paragraph(p.headline(t), messageWords, false, 0)
	p.alertsInMessage(c, t)
	c.gap(6)
	tall := messageLeast
	if pl, ok := planeOf(p.Grid.Frame, p.Map); ok {
		tall = min(max(c.width*pl.halfH/pl.halfW, messageLeast), messageTall)
	}
	m, err := newJobMap(p, t, c.width, tall)
	if err != nil {
		return err
	}
	if _, needs := m.fit(c.width, tall); needs < tall { // no white above and below
		tall = max(needs, messageFlat)
		if m, err = newJobMap(p, t, c.width, tall); err != nil {
			return err
		}
	}
	if err := m.paint(); err != nil {
		return err
	}
	page.Add(drawing.Moved(m.shapes(m.marks(narrowText)), drawing.Point{X: c.x, Y: c.y})...)
	c.y += tall + 8
	c.scale = 1.3 // of the bars
	m.bars(c)
	c.scale = 1
	c.gap(6)
	c.key(m.signs(t), 2, messageKey)
	p.dangersInMessage(c)
	c.gap(4)
	c.paragraph(caution, messageKey, true, 0)
	if credit := p.Map.Credit(); credit != "" {
		c.paragraph(credit, messageKey, false, 0)
	}
	page.Height = c.y + messageRoom
	return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(w, drawing.Pixels(page, messagePx))
}

// alertsInMessage writes what makes the answer void, and the warnings that change it.
func (p *Page) alertsInMessage(c *column, t totals) {
	alerts := p.alerts(t)
	s := section{Items: alerts}
	if len(alerts) > mostAlerts {
		s.Printed = mostAlerts
	}
	for _, a := range s.onPaper() {
		c.gap(2)
		c.paragraph(a, messageKey, true, 0)
	}
}

// dangersInMessage lists the dangers under the numbers that they have on the map, which may stand
// without its sheet.
func (p *Page) dangersInMessage(c *column) {
	all := p.dangerList()
	if len(all.Items) == 0 {
		return
	}
	c.gap(4)
	c.paragraph(all.Heading, messageKey, true, 0)
	c.numbered(all.Items, messageKey)
}
