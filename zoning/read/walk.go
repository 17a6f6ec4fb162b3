package read

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/paulmach/orb"
)

// defaultCloseM is the gap, in metres, across which a track is closed where
// [Options.CloseM] is 0: common practice, no source.
const defaultCloseM = 30

// closeShare is the greatest share of the way walked that a closing edge may
// be, so that three sides of a square are no boundary: common practice, no
// source.
const closeShare = 1.0 / 5

// walk makes a lot of a track or a route, and counts a waypoint as left out.
func (r *reader) walk(l *layer, f *feature) error {
	stretches, waypoints := stretchesOf(f.geometry)
	switch {
	case waypoints > 0:
		r.leftOut.waypoints += waypoints
		return nil
	case f.err == nil && len(stretches) == 0:
		r.leftOut.empty++
		return nil
	}
	r.shaped = true
	if err := r.checkMost(f); err != nil {
		return err
	}
	if err := errors.Join(f.err, r.look(f)); err != nil || f.unwanted {
		return r.hold(f, mended{}, err)
	}
	c, err := r.crsOf(l)
	if err != nil {
		return err
	}
	m, err := walkOf(l, stretches, r.opts.CloseM, r.opts.Units).ground(c, r.opts.mending())
	return r.hold(f, m, err)
}

// walkOf is a walk of a layer, a gap of 0 m being the usual one.
func walkOf(l *layer, stretches []orb.LineString, closeM float64, units measure.Units) *walk {
	w := &walk{what: "track", closeM: closeM, units: units, stretches: stretches}
	if l.name == "routes" {
		w.what = "route"
	}
	if w.closeM == 0 {
		w.closeM = defaultCloseM
	}
	return w
}

// stretchesOf returns the lines of a geometry that hold a point, and the number
// of its lone points.
func stretchesOf(g orb.Geometry) (stretches []orb.LineString, points int) {
	switch g := g.(type) {
	case orb.Point:
		return nil, 1
	case orb.LineString:
		if len(g) > 0 {
			stretches = append(stretches, g)
		}
	case orb.MultiLineString:
		for _, line := range g {
			if len(line) > 0 {
				stretches = append(stretches, line)
			}
		}
	}
	return stretches, 0
}

// walk is a boundary gone round with a receiver. A track has a stretch for each
// time that the receiver was on (GPX 1.1, trkseg).
type walk struct {
	units     measure.Units // that people are told in
	what      string        // track or route
	closeM    float64
	stretches []orb.LineString
	plane     plane
}

// ground closes the walk and returns what it goes round, as [crs.ground] does.
func (w *walk) ground(c *crs, by mending) (m mended, err error) {
	for _, s := range w.stretches {
		for _, p := range s {
			if err := c.check(p); err != nil {
				return m, err
			}
		}
	}
	w.plane = planeAt(w.stretches[0][0][1])
	drawn, notes, err := w.close()
	if err != nil {
		return m, err
	}
	if drawn, _, err = closeRings(drawn); err != nil {
		return m, err
	}
	for _, part := range drawn {
		if m.repair, err = tangle(part, by); err != nil {
			return m, err
		}
	}
	m, err = c.ground(drawn, by)
	m.notes = append(notes, m.notes...)
	return m, err
}

// closes reports whether a walk comes back to its start, or nearly.
func (w *walk) closes() bool {
	w.plane = planeAt(w.stretches[0][0][1])
	_, _, err := w.close()
	return err == nil
}

// tangle refuses a line that crosses itself so that more than a little of its
// ground lies beside the largest piece. Drawn by hand that is two lobes with
// corners out of order; walked it is a way there and back.
func tangle(part orb.Polygon, by mending) (zoning.Repair, error) {
	s, err := unwrap(orb.MultiPolygon{part})
	if err != nil {
		return zoning.Repair{}, err
	}
	reason, err := invalidity(s.polygons)
	if err != nil || reason == "" {
		return zoning.Repair{}, err
	}
	if err := checkCrossings(s.polygons); err != nil {
		return zoning.Repair{}, err
	}
	pieces, _, err := enclosedBy(s.polygons[0])
	if err != nil {
		return zoning.Repair{}, err
	}
	var largestM2 float64
	for _, p := range pieces {
		largestM2 = max(largestM2, coverage.AreaM2(orb.MultiPolygon{p}))
	}
	if m2 := coverage.AreaM2(pieces); m2-largestM2 > by.most*m2 {
		return zoning.Repair{Refused: true, ChangedPct: 100 * (m2 - largestM2) / m2}, fmt.Errorf("%s; of %s in %d pieces %s lie beside the largest, and more than %s is not ours to decide: take out the ways to and from the lot, or draw it again",
			inWords(reason), by.areaText(m2), len(pieces), by.area(m2-largestM2), percent(by.most))
	}
	return zoning.Repair{}, nil
}

// close makes parts of the stretches where each comes back to its own start,
// and else one ring of them all, end to start.
func (w *walk) close() (drawn orb.MultiPolygon, notes []string, err error) {
	var widest float64
	for _, s := range w.stretches {
		if w.open(s) != nil {
			drawn = nil
			break
		}
		widest = max(widest, w.gapM(s))
		drawn = append(drawn, orb.Polygon{closedRing(s)})
	}
	if drawn != nil {
		return drawn, w.closingNote(widest), nil
	}
	line, widest, err := w.join()
	if err != nil {
		return nil, nil, err
	}
	if err := w.open(line); err != nil {
		return nil, nil, err
	}
	if n := len(w.stretches); n > 1 {
		notes = append(notes, fmt.Sprintf("its %d stretches were joined by straight edges, the longest %s", n, w.units.LengthOrLess(widest)))
	}
	return orb.MultiPolygon{{closedRing(line)}}, append(notes, w.closingNote(w.gapM(line))...), nil
}

// join puts the stretches end to start, and tells the widest gap between them.
func (w *walk) join() (line orb.LineString, widestM float64, err error) {
	for i, s := range w.stretches {
		if i > 0 {
			gap := w.plane.distanceM(line[len(line)-1], s[0])
			if gap > w.closeM {
				return nil, 0, fmt.Errorf("its %s breaks off for %s between its stretches %d and %d of %d, and no more than %s is joined: walk what is missing, or take out the stretches that are no boundary",
					w.what, w.units.LengthOrLess(gap), i, i+1, len(w.stretches), w.units.LengthOrLess(w.closeM))
			}
			widestM = max(widestM, gap)
		}
		line = append(line, s...)
	}
	return line, widestM, nil
}

// open tells why a line cannot be closed, nil if it can.
func (w *walk) open(line orb.LineString) error {
	gap := w.gapM(line)
	if gap > w.closeM {
		return fmt.Errorf("its %s ends %s from where it began, and no more than %s is closed: walk the line to its end, or take out the ways to and from the lot",
			w.what, w.units.LengthOrLess(gap), w.units.LengthOrLess(w.closeM))
	}
	var length float64
	for i := 1; i < len(line); i++ {
		length += w.plane.distanceM(line[i-1], line[i])
	}
	if gap > closeShare*length {
		return fmt.Errorf("its %s of %s ends %s from where it began, and no more than a fifth of the way is closed: walk the line to its end",
			w.what, w.units.LengthOrLess(length), w.units.LengthOrLess(gap))
	}
	return nil
}

// gapM is how far a line is from coming back to its start.
func (w *walk) gapM(line orb.LineString) float64 {
	return w.plane.distanceM(line[0], line[len(line)-1])
}

func (w *walk) closingNote(gapM float64) []string {
	if gapM == 0 {
		return nil
	}
	return []string{fmt.Sprintf("its %s did not come back to where it began: closed by a straight edge of %s", w.what, w.units.LengthOrLess(gapM))}
}

func closedRing(line orb.LineString) orb.Ring {
	ring := orb.Ring(line)
	if ring[0] != ring[len(ring)-1] {
		ring = append(ring[:len(ring):len(ring)], ring[0])
	}
	return ring
}

// checkCloseM returns an error for a gap that is none.
func checkCloseM(closeM float64) error {
	if !(closeM >= 0) {
		return fmt.Errorf("a gap of %g m cannot be closed: give meters, or 0 for %d", closeM, defaultCloseM)
	}
	return nil
}
