package sheet

import (
	"io"
	"sync"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Laid is a page that is laid out once for both HTML and PDF, when the first of them is written.
// Its methods may be called at once from several goroutines.
type Laid struct{ paper, screen func() (*laid, error) }

// Lay has the page laid out once for several forms of it. The page may not change meanwhile.
func (p *Page) Lay() *Laid {
	paper := sync.OnceValues(func() (*laid, error) { return p.layOut(true) })
	return &Laid{paper, sync.OnceValues(func() (*laid, error) {
		// A screen shows lots by their names, whatever their letters.
		if l, err := paper(); err != nil || l.Map == p.Map {
			return l, err
		}
		return p.layOut(false)
	})}
}

// WriteHTML is [Page.WriteHTML].
func (l *Laid) WriteHTML(w io.Writer) error {
	laid, err := l.screen()
	if err != nil {
		return err
	}
	return laid.writeHTML(w)
}

// WritePDF is [Page.WritePDF].
func (l *Laid) WritePDF(w io.Writer) error {
	laid, err := l.paper()
	if err != nil {
		return err
	}
	return laid.writePDF(w)
}

// laid is what the forms of a page have in common. Nothing changes it.
type laid struct {
	*Page
	totals    totals
	contents  contents
	front     *front
	back      []drawing.Page
	backScale float64 // of text on them

	m *jobMap
	// Marks and words on the map, and its key, which tells what of them there is no room for.
	wide    []drawing.Shape
	wideKey []keyEntry
	narrow  func() ([]drawing.Shape, []keyEntry) // made when a screen first asks
}

// layOut lays the page out, with names as [Page.ready] has them.
func (p *Page) layOut(drawn bool) (*laid, error) {
	p, t, err := p.ready(drawn)
	if err != nil {
		return nil, err
	}
	all := p.contents(t)
	if err := p.addLimits(all); err != nil {
		return nil, err
	}
	f, err := p.front(t, all)
	if err != nil {
		return nil, err
	}
	m, err := newJobMap(p, t, f.width, f.tall)
	if err != nil {
		return nil, err
	}
	if err := m.paint(); err != nil {
		return nil, err
	}
	l := &laid{Page: p, totals: t, contents: all, front: f, m: m}
	l.back, l.backScale = p.back(t, all)
	l.wide, l.wideKey = m.marks(wideText), m.signs(t)
	l.narrow = sync.OnceValues(func() ([]drawing.Shape, []keyEntry) { return m.marks(narrowText), m.signs(t) })
	return l, nil
}
