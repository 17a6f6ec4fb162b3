package sheet

import (
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Measures of the second map, in points: the ground, and its key beside it.
const (
	limitsWide   = 270.0
	limitsGround = 140.0
	limitsTall   = 96.0
	limitsHead   = 12.0
)

// addLimits puts the map by limits, small, into the plan of an office's sheet that is drawn
// as planned: what other machines of the fleet could work.
func (p *Page) addLimits(all contents) error {
	if p.Crew || p.Plan == nil || p.Map.View != zoning.AsPlanned {
		return nil
	}
	zm := *p.Map.ByLimits()
	zm.Hazards, zm.Access = nil, zoning.Access{}
	t := totalsOf(&zm)
	m, err := newJobMap(&Page{Map: &zm, Grid: p.Grid}, t, limitsGround, limitsTall)
	if err != nil {
		return err
	}
	for _, pane := range m.panes {
		if err := pane.relief(); err != nil {
			return err
		}
		pane.hatch()
	}
	f := &figure{Width: limitsWide, Height: limitsHead + limitsTall + 4, Words: "Second map, by limits: which machine of the fleet, the first in its order, may work each spot."}
	page := &drawing.Page{}
	head := &column{page: page, width: limitsWide, scale: 1}
	head.text(0, drawing.Left, ladderText, true, palette.Ink, "Second map, by limits: what each machine of the fleet could work")
	shapes := m.layered(func(p *pane) []drawing.Shape {
		out := p.base
		for _, z := range p.zones {
			z.path.Width /= 2
			out = append(out, z.path)
		}
		return append(out, p.over...)
	})
	page.Add(drawing.Moved(shapes, drawing.Point{Y: limitsHead})...)
	key := &column{page: page, x: limitsGround + 8, y: limitsHead, width: limitsWide - limitsGround - 8, scale: 1}
	for _, e := range zoneKey(t, zm.Fleet, zm.View) {
		if e.more = ""; key.y+keyTall <= f.Height {
			key.keyEntry(e, ladderText)
		}
	}
	f.shapes = page.Shapes
	plan := all.of(planSection)
	plan.Figures = append(plan.Figures, f)
	return nil
}
