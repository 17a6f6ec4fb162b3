package mapping

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// madeGrounds are what promises are held to: rolling, rough and ridged, at 1 m.
func madeGrounds() map[string]heights {
	return map[string]heights{
		"rolling": rough(360, 1, 12, false, 1),
		"rough":   rough(360, 0.8, 6, false, 2),
		"ridged":  rough(360, 0.9, 12, true, 3),
	}
}

// refusedShare is the share of the ground that a map of coarser cells calls sure for a
// machine that the map at 1 m keeps it off, away from the rim, and the sure cells of 1 m.
func refusedShare(fine, coarse *zoning.ZoneMap, times, machine int) (share float64, sure int) {
	refused, rim := 0, 2*times
	for r := rim; r < coarse.Cells.Rows*times-rim; r++ {
		for c := rim; c < coarse.Cells.Cols*times-rim; c++ {
			if coarse.Cells.Sure[r/times*coarse.Cells.Cols+c/times]>>machine&1 == 0 {
				continue
			}
			sure++
			if fine.Cells.Masks[r*fine.Cells.Cols+c]>>machine&1 == 0 {
				refused++
			}
		}
	}
	return float64(refused) / math.Max(float64(sure), 1), sure
}

// Sure was reckoned by the noise of the heights alone, which falls as cells grow: of what 10 m
// cells called sure for a crawler a quarter was too steep at 1 m. At 90% at most a tenth
// of sure ground is refused by the same rules at 1 m, at every cell size, and no acre
// becomes sure by being measured coarser.
func TestPoorerDataNeverReadsAsSafer(t *testing.T) {
	noise := &slope.Noise{SigmaM: 0.02, RangeM: slope.RangeUnknown, From: "test"}
	for name, ground := range madeGrounds() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			machines := fleet.Default()
			fine := ground.mapped(t, machines, Options{Noise: noise})
			last := make([]float64, len(machines))
			for i := range machines {
				last[i] = sureAcres(fine, i, 1)
			}
			crawler := len(machines) - 1
			require.Greater(t, last[crawler], 5.0)
			for _, times := range []int{2, 3, 5, 10, 30} {
				coarse := ground.means(times)
				m := coarse.mapped(t, machines, Options{Noise: noise})
				for i, machine := range machines {
					share, sure := refusedShare(fine, m, times, i)
					assert.LessOrEqual(t, share, 0.10, "%s, cells of %d m: of %d m² sure", machine.Key, times, sure)
					acres := sureAcres(m, i, coarse.cellM)
					// Crests and banks that hold a machine back are fitted on fine cells alone: on
					// ridges up to 5% come back.
					assert.LessOrEqual(t, acres, 1.05*last[i], "%s, cells of %d m", machine.Key, times)
					last[i] = acres
				}
				if times <= 3 {
					assert.Greater(t, last[crawler], 1.0, "cells of %d m still tell some ground", times)
				}
				if times == 30 {
					assert.Zero(t, last[crawler])
					assert.Contains(t, strings.Join(m.Warnings, "\n"), "from cells of 20 m on no acre is sure")
				}
				if times < 30 {
					assert.Contains(t, m.Error.Unseen, "points steeper than it reads")
				}
			}
			assert.Empty(t, fine.Error.Unseen, "cells of 1 m show what a machine of 3 m feels")
		})
	}
}

// drawnFiner is the ground at cells a times-th as long, bilinear between the middles of its
// own.
func (h heights) drawnFiner(times int) heights {
	out := heights{make([]float64, h.side*h.side*times*times), h.side * times, h.cellM / float64(times)}
	for r := range out.side {
		y, j := between(r, times, h.side)
		for c := range out.side {
			x, i := between(c, times, h.side)
			at := h.z[j*h.side+i:]
			out.z[r*out.side+c] = (1-y)*((1-x)*at[0]+x*at[1]) + y*((1-x)*at[h.side]+x*at[h.side+1])
		}
	}
	return out
}

// between is where a finer cell lies past the middle of a coarser one, at the rim beyond it.
func between(fine, times, side int) (past float64, cell int) {
	at := (float64(fine)+0.5)/float64(times) - 0.5
	cell = min(max(int(math.Floor(at)), 0), side-2)
	return at - float64(cell), cell
}

// Ground of 10 m cells drawn at 1 m was sure by what 1 m cells are worth. It has the cells and
// the error of what it is: no more of it is sure than of the raster that it was drawn from.
func TestAResampleIsAsSureAsWhatItWasDrawnFrom(t *testing.T) {
	ground := rough(600, 1, 10, false, 4)
	machines := fleet.Default()
	coarse := ground.means(10)
	drawn := coarse.drawnFiner(10)
	from, to := coarse.mapped(t, machines, Options{}), drawn.mapped(t, machines, Options{})
	for i, machine := range machines {
		// Of what it works: that is more at 1 m, for rules that are told in cells.
		assert.LessOrEqual(t, sureAcres(to, i, 1)*worksAcres(from, i, 10), 1.02*sureAcres(from, i, 10)*worksAcres(to, i, 1), machine.Key)
		share, _ := refusedShare(ground.mapped(t, machines, Options{}), to, 1, i)
		assert.LessOrEqual(t, share, 0.10, machine.Key)
	}
	assert.Contains(t, to.Error.Unseen, "hide slope from a machine")
}

// Heights in whole meters and the tops of trees were sure by the error of lidar.
func TestStairsAndTreeTopsAreNeverSure(t *testing.T) {
	ground := rough(200, 1, 10, false, 5)
	stairs, tops := heights{make([]float64, len(ground.z)), 200, 1}, heights{make([]float64, len(ground.z)), 200, 1}
	for i, z := range ground.z {
		stairs.z[i] = math.Round(z)
		tops.z[i] = z
		if i%200%6 < 2 && i/200%6 < 2 {
			tops.z[i] += 8
		}
	}
	for from, h := range map[string]heights{"whole steps of 1 m put any slope off by as much as 50 points": stairs, "tree tops": tops} {
		m := h.mapped(t, fleet.Default(), Options{SlopeOnly: true})
		assert.Contains(t, m.Error.From+m.Error.Unseen, from)
		assert.Zero(t, sureAcres(m, 0, 1), from)
	}
}
