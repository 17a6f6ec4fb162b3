package main

import (
	"context"
	"fmt"
	"io"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// The same ground on grids that are turned, moved by half a cell and coarser: a machine's
// acres should be the same on all of them.
const (
	mostSpreadAt1M = 2.0 // percent of a machine's acres
	mostSpreadAt3M = 8.0

	spreadLotM  = 230.0 // radius of the lot, a circle, so that it turns into itself
	spreadHaloM = 45.0
)

// laying is how a grid lies over the ground.
type laying struct {
	cellM, turnDeg float64
	move           [2]float64 // of its origin, in cells
	steep          float64    // what the slopes of the hills are multiplied by
}

// layings are turned and moved ones at a cell size.
func layings(cellM, steep float64) (out []laying) {
	for _, turn := range []float64{0, 11, 22.5, 30, 45, 63, 77} {
		out = append(out, laying{cellM, turn, [2]float64{}, steep})
	}
	for _, move := range [][2]float64{{0.5, 0}, {0, 0.5}, {0.5, 0.5}} {
		out = append(out, laying{cellM, 0, move, steep})
	}
	return out
}

// spreadRelief is ground of hills 40 to 330 m long, a bench along a creek bank, and a
// cut face 15 ft high behind it: what keeps each machine back somewhere. Slopes crowd
// where the machines' limits are.
func spreadRelief(x, y, steep float64) (z float64) {
	for i, w := range [...]struct{ lengthM, slope, bearing float64 }{
		{331, 0.234, 0.3}, {283, 0.203, 1.7}, {181, 0.187, 2.5}, {157, 0.156, 0.9}, {97, 0.0858, 2.1}, {83, 0.0754, 0.1}, {53, 0.0536, 1.3}, {41, 0.0429, 2.8},
	} {
		k := 2 * math.Pi / w.lengthM
		z += steep * w.slope / k * math.Sin(k*(x*math.Cos(w.bearing)+y*math.Sin(w.bearing))+float64(i))
	}
	bank := y + 0.18*x + 9*math.Sin(x/47) + 60  // metres above the foot of the bank
	cut := y - 0.10*x + 6*math.Sin(x/61+1) - 75 // and of the cut face
	return z + (0.55+0.12*math.Sin(x/24))*between(bank, 0, 24) + 0.9*between(cut, 0, 5)
}

func between(v, from, to float64) float64 { return min(max(v-from, 0), to-from) }

func (l laying) height(x, y float64) float64 { return spreadRelief(x, y, l.steep) }

// acres are those that nothing keeps each machine off, on a grid.
func (l laying) acres() ([]float64, error) {
	const degree = 6378137 * math.Pi / 180 // of longitude on the equator, WGS84
	const flat = 1 - 0.00669437999014      // a degree of latitude there against that
	side := 2 * int(math.Ceil((spreadLotM+spreadHaloM)/l.cellM))
	sin, cos := math.Sincos(l.turnDeg * math.Pi / 180)
	on := func(col, row float64) (x, y float64) {
		u, v := (col-float64(side)/2+l.move[0])*l.cellM, (float64(side)/2-row+l.move[1])*l.cellM
		return u*cos - v*sin, u*sin + v*cos
	}
	frame, err := terrain.NewFrame(64, 0, 0, side, side, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			x, y := on(c[0], c[1])
			out[i] = [2]float64{x / degree, y / (degree * flat)}
		}
		return out, nil
	})
	if err != nil {
		return nil, err
	}
	z := make([]float32, side*side)
	for i := range z {
		z[i] = float32(l.height(on(float64(i%side)+0.5, float64(i/side)+0.5)))
	}
	e := &terrain.Elevation{
		Grid:    &terrain.Grid{Z: z, Cols: side, Rows: side, Stride: side, Frame: frame},
		Sources: []terrain.Source{{Path: "the ground of the spread", CellM: [2]float64{l.cellM, l.cellM}}},
	}
	var ring orb.Ring
	for i := range 181 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%180) / 180)
		ring = append(ring, orb.Point{spreadLotM * cos / degree, spreadLotM * sin / (degree * flat)})
	}
	ground, err := mapping.NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "1", Ground: orb.MultiPolygon{{ring}}}}}, nil)
	if err != nil {
		return nil, err
	}
	m, err := mapping.Map(context.Background(), ground, fleet.Default(), mapping.Options{})
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(m.Fleet))
	for k, lost := range m.LostAcres() {
		out[k] = m.Lots[0].Acres
		for why, acres := range lost {
			if zoning.Why(why) != zoning.Works {
				out[k] -= acres
			}
		}
	}
	return out, nil
}

// spreadRuns prints the spread of each machine's acres, on rolling ground and on rugged, and
// says whether a goal is missed.
func spreadRuns(out io.Writer) (missed bool, err error) {
	fmt.Fprintln(out, "Acres of the same ground on grids turned and moved by half a cell, and on coarser ones")
	for _, ground := range []struct {
		name  string
		steep float64
	}{{"rolling", 1}, {"rugged", 1.7}} {
		m, err := spreadOf(out, ground.name, ground.steep)
		if err != nil {
			return false, err
		}
		missed = missed || m
	}
	fmt.Fprintf(out, "  mean acres, spread over the layings, off the mean at 1 m; goals: %g%% at 1 m, %g%% at 3 m\n", mostSpreadAt1M, mostSpreadAt3M)
	return missed, nil
}

func spreadOf(out io.Writer, name string, steep float64) (missed bool, err error) {
	machines := fleet.Default()
	fmt.Fprintf(out, "  %-22s", name)
	for _, m := range machines {
		fmt.Fprintf(out, " %24s", m.Name)
	}
	fmt.Fprintln(out)
	var fine []float64 // mean acres at 1 m
	for _, cellM := range []float64{1, 2, 3} {
		var all [][]float64
		for _, l := range layings(cellM, steep) {
			acres, err := l.acres()
			if err != nil {
				return false, err
			}
			all = append(all, acres)
		}
		fmt.Fprintf(out, "  %-22s", fmt.Sprintf("%g m, %d layings", cellM, len(all)))
		for k := range machines {
			least, most, mean := all[0][k], all[0][k], 0.0
			for _, acres := range all {
				least, most = min(least, acres[k]), max(most, acres[k])
				mean += acres[k] / float64(len(all))
			}
			if cellM == 1 {
				fine = append(fine, mean)
			}
			spread, off := 0.0, 0.0
			if mean > 0.1 && fine[k] > 0.1 { // else it has no ground here
				spread, off = 100*(most-least)/mean, 100*(mean/fine[k]-1)
			}
			fmt.Fprintf(out, " %8.2f ac %5.1f%% %+5.1f%%", math.Abs(mean), spread, off)
			switch cellM {
			case 1:
				missed = missed || spread > mostSpreadAt1M
			case 3:
				missed = missed || spread > mostSpreadAt3M || math.Abs(off) > mostSpreadAt3M
			}
		}
		fmt.Fprintln(out)
	}
	return missed, nil
}
