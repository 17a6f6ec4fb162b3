package profile

import (
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
)

// Profile is the ground along a line. All slices have one value for each place, from one
// end of the line to the other.
type Profile struct {
	DistancesM []float64    // along the ground plan, from 0
	HeightsM   []float64    // NaN where there is no elevation
	LonLat     [][2]float64 // WGS84 degrees
	Cells      []int        // of the grid's window, row by row; -1 beyond it
}

// MostPlaces is how many places a line has at most.
const MostPlaces = 1 << 16

// perCell is how many places there are to the shorter side of a cell, at least: of three the
// rise from one cell's middle to the next holds two whole steps, and so the slope at a place.
const perCell = 3

// ErrNoLine says that two ends are one place, or no places.
var ErrNoLine = errors.New("the two ends of the line are one place, or no places")

// ErrOffGround says that no place of a line lies on the grid.
var ErrOffGround = errors.New("the line lies beyond the ground that was read")

// Along returns the ground along the line between two places, longitude first, in WGS84
// degrees. Its errors are ErrNoLine, ErrOffGround, a grid that [terrain.Grid.Check] refuses
// and a line of more than MostPlaces.
func Along(g *terrain.Grid, from, to [2]float64) (*Profile, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	for _, v := range [...]float64{from[0], from[1], to[0], to[1]} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, ErrNoLine
		}
	}
	c0, r0 := g.Frame.Cell(from[0], from[1])
	c1, r1 := g.Frame.Cell(to[0], to[1])
	dc, dr := c1-c0, r1-r0
	middle := g.Frame.MetricAt((c0+c1)/2, (r0+r1)/2)
	lengthM := middle.LengthM(dc, dr)
	if !(lengthM > 0) {
		return nil, ErrNoLine
	}
	w, h := middle.CellM()
	steps := math.Ceil(perCell*max(lengthM/min(w, h), math.Abs(dc), math.Abs(dr)) - none)
	if !(steps < MostPlaces) {
		return nil, fmt.Errorf("a line of %.0f m over cells of %.3g m has %.0f places, and %d are taken; draw a shorter one", lengthM, min(w, h), steps+1, MostPlaces)
	}
	n := max(int(steps), 1)
	p := &Profile{}
	met := false
	for i := range n + 1 {
		t := float64(i) / float64(n)
		col, row := c0+t*dc, r0+t*dr
		if i > 0 {
			half := (float64(i) - 0.5) / float64(n)
			p.DistancesM = append(p.DistancesM, p.DistancesM[i-1]+g.Frame.MetricAt(c0+half*dc, r0+half*dr).LengthM(dc/float64(n), dr/float64(n)))
		} else {
			p.DistancesM = append(p.DistancesM, 0)
		}
		lon, lat := g.Frame.LonLat(col, row)
		cell := cellAt(g, col, row)
		met = met || cell >= 0
		p.LonLat = append(p.LonLat, [2]float64{math.Remainder(lon, 360), lat})
		p.Cells = append(p.Cells, cell)
		p.HeightsM = append(p.HeightsM, heightAt(g, col, row))
	}
	if !met {
		return nil, ErrOffGround
	}
	return p, nil
}

// cellAt is the cell of the window at cell coordinates, -1 beyond it.
func cellAt(g *terrain.Grid, col, row float64) int {
	c, r := int(math.Floor(col))-g.Col0, int(math.Floor(row))-g.Row0
	if c < 0 || r < 0 || c >= g.Cols || r >= g.Rows {
		return -1
	}
	return r*g.Cols + c
}

// none is the share of a cell, or of the way to the next place, that counts as nothing: a
// frame places to 1e-9 cells.
const none = 1e-6

// heightAt is the bilinear height at cell coordinates in meters, NaN where a cell that has
// a part in it has none.
func heightAt(g *terrain.Grid, col, row float64) float64 {
	x, y := col-0.5-float64(g.Col0), row-0.5-float64(g.Row0)
	left, top := math.Floor(x+none), math.Floor(y+none)
	right, below := max(x-left, 0), max(y-top, 0)
	height := 0.0
	for k, share := range [4]float64{(1 - right) * (1 - below), right * (1 - below), (1 - right) * below, right * below} {
		if share < none {
			continue
		}
		c, r := int(left)+k%2, int(top)+k/2
		if c < 0 || r < 0 || c >= g.Cols || r >= g.Rows {
			return math.NaN()
		}
		height += share * g.At(c, r)
	}
	return height
}

// LengthM is how long the line is on the ground plan, in meters.
func (p *Profile) LengthM() float64 { return p.DistancesM[len(p.DistancesM)-1] }

// HeightAt returns the height at a distance along the line, in meters: straight between
// places, NaN beside one without and beyond the ends.
func (p *Profile) HeightAt(distanceM float64) float64 {
	i := p.before(distanceM)
	if distanceM < 0 || i < 0 {
		return math.NaN()
	}
	if distanceM == p.DistancesM[i] {
		return p.HeightsM[i]
	}
	if i+1 == len(p.DistancesM) {
		return math.NaN()
	}
	t := (distanceM - p.DistancesM[i]) / (p.DistancesM[i+1] - p.DistancesM[i])
	return p.HeightsM[i] + t*(p.HeightsM[i+1]-p.HeightsM[i])
}

// before is the last place at a distance or before it, -1 where there is none. Places lie
// nearly as far apart from one another all along the line.
func (p *Profile) before(distanceM float64) int {
	last := len(p.DistancesM) - 1
	i := min(max(int(distanceM/p.LengthM()*float64(last)), 0), last)
	for i+1 <= last && p.DistancesM[i+1] <= distanceM {
		i++
	}
	for i >= 0 && p.DistancesM[i] > distanceM {
		i--
	}
	return i
}

// SlopePct returns the slope along the line at a place, over a length around it or what the
// line has of that, in percent: above 0 where the ground rises on the way. It is NaN where
// the ground there is not known throughout. The ground itself may be steeper, across the line.
func (p *Profile) SlopePct(place int, overM float64) float64 {
	at := p.DistancesM[place]
	step := p.LengthM() / float64(len(p.DistancesM)-1)
	half := max(overM, step) / 2
	from, to := max(at-half, 0), min(at+half, p.LengthM())
	for i := p.before(from); i < len(p.DistancesM) && p.DistancesM[i] <= to; i++ {
		if math.IsNaN(p.HeightsM[i]) {
			return math.NaN()
		}
	}
	return 100 * (p.HeightAt(to) - p.HeightAt(from)) / (to - from)
}
