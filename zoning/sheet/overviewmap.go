package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Size of an overview map, in points: as wide as Letter paper allows, and as tall as
// its lots are, within bounds.
const (
	overviewWide   = 540.0
	overviewTall   = 400.0
	overviewShort  = 150.0
	overviewMargin = 10.0
)

// overviewMap is a map of many lots: pixels of a size that does not depend on their
// number, and a few names over them.
type overviewMap struct {
	o             *Overview
	frame         drawing.Box
	x, y          axis
	perLon        float64 // metres in a degree
	perLat        float64
	metres        float64 // in a pixel
	left, top     float64 // pixels, of what is drawn
	wide, narrow  lotNames
	small, beyond int // lots drawn larger than they are; lots that failed beyond the frame
}

// lotNames are the names on a map at a scale of text.
type lotNames struct {
	room
	text   float64
	shapes []drawing.Shape
}

// newOverviewMap lays a map out; ok is false where no lot has a place.
func newOverviewMap(o *Overview) (m *overviewMap, ok bool) {
	boxes := o.boxes.shown()
	if len(boxes) == 0 {
		return nil, false
	}
	all := boxes[0]
	for _, b := range boxes {
		all = all.Union(b)
	}
	m = &overviewMap{o: o}
	m.perLon, m.perLat = metresPerDegree(all.Center()[1])
	whole := *m
	whole.layOut(boxes, false)
	if m.layOut(boxes, true); m.metres > whole.metres/leastGain {
		m = &whole
	}
	return m, true
}

// leastGain is how many times larger lots must come out for strips to be left out.
const leastGain = 3

// leastOverview is the least height and width of ground on a map, in metres.
const leastOverview = 30.0

// layOut fits boxes into a frame.
func (m *overviewMap) layOut(boxes []orb.Bound, cut bool) {
	xs, ys := make([]span, len(boxes)), make([]span, len(boxes))
	for i, b := range boxes {
		xs[i] = span{b.Min[0] * m.perLon, b.Max[0] * m.perLon}
		ys[i] = span{-b.Max[1] * m.perLat, -b.Min[1] * m.perLat}
	}
	m.x, m.y = axisOf(xs, cut), axisOf(ys, cut)
	long, tall := max(m.x.long, leastOverview), max(m.y.long, leastOverview)
	metresPerPoint := max(long/(overviewWide-2*overviewMargin), tall/(overviewTall-2*overviewMargin))
	m.metres = metresPerPoint / reliefPx
	m.frame = drawing.Box{Right: overviewWide, Bottom: max(math.Ceil(tall/metresPerPoint+2*overviewMargin), overviewShort)}
	m.left = (m.frame.Right*reliefPx - m.x.long/m.metres) / 2
	m.top = (m.frame.Bottom*reliefPx - m.y.long/m.metres) / 2
	m.wide = lotNames{room: room{within: m.frame.Inset(1)}, text: wideText}
	m.narrow = lotNames{room: room{within: m.frame.Inset(1)}, text: narrowText}
}

// pixel returns where a point lies, in pixels.
func (m *overviewMap) pixel(p orb.Point) (x, y float64) {
	return m.left + m.x.at(m.o.boxes.near(p[0])*m.perLon)/m.metres, m.top + m.y.at(-p[1]*m.perLat)/m.metres
}

// metresPerDegree are the metres in a degree of longitude and of latitude. At a pole they
// are a little: there would be nothing to divide by.
func metresPerDegree(lat float64) (perLon, perLat float64) {
	perLon, perLat = terrain.DegreeM(lat)
	return max(perLon, math.Pi/180), perLat
}
