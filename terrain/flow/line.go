package flow

import (
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
)

// gather counts the cells whose water runs through each cell, itself among them.
// Counts are exact, so their order does not matter. They take the place of the
// basins, which are lost.
func (r *routing) gather() []int32 {
	const done = ways + 1
	upslope, waiting := r.basin, make([]uint8, len(r.dir))
	r.basin = nil
	for i, k := range r.dir {
		upslope[i] = 1
		if k < ways {
			waiting[i+r.step[k]]++
		}
		if k == void {
			upslope[i] = 0
		}
	}
	for i := range r.dir {
		if i%r.cols == 0 {
			r.watch.Did(2 * r.cols)
		}
		for j := i; waiting[j] == 0; {
			waiting[j] = done
			k := r.dir[j]
			if k >= ways {
				break
			}
			down := j + r.step[k]
			upslope[down] += upslope[j]
			waiting[down]--
			j = down
		}
	}
	return upslope
}

// channels marks the cells with as much upslope area as a line asks for, less
// those of standing water.
func (r *routing) channels(upslope []int32, o Options) []bool {
	wet := make([]bool, len(upslope))
	var pieces []terrain.RowMetric
	for row := range r.rows {
		r.watch.Did(r.cols)
		pieces = r.grid.Frame.RowMetrics(pieces[:0], r.grid.Row0+row, r.grid.Col0, r.grid.Col0+r.cols)
		for _, piece := range pieces {
			least := areaCells(o.LineM2, piece.Start.Plus(piece.PerCol, float64(piece.To-piece.From)/2))
			from, to := max(piece.From-r.grid.Col0, 0), min(piece.To-r.grid.Col0, r.cols)
			for i := row*r.cols + from; i < row*r.cols+to; i++ {
				wet[i] = upslope[i] >= least
			}
		}
	}
	if o.Water != nil {
		o.Water.Runs(func(_ quality.Patch, row, c0, c1 int) {
			clear(wet[row*r.cols+c0 : row*r.cols+c1])
		})
	}
	return wet
}

// lines follows the channels down. It then marks one cell more beside every step
// to a corner, the lower of the two, so that the marks are joined side by side.
func (r *routing) lines(upslope []int32, wet []bool) []Line {
	var list []Line
	var starts, lasts, corners []int32
	for i := range wet {
		if i%r.cols == 0 {
			r.watch.Did(r.cols)
		}
		if !wet[i] || r.feeders(i, wet) == 1 {
			continue
		}
		line, last, beside := r.follow(i, upslope, wet, corners)
		corners = beside
		if len(line.Path) > 1 {
			list = append(list, line)
			starts, lasts = append(starts, int32(i)), append(lasts, last)
		}
	}
	for _, i := range corners {
		wet[i] = true
	}
	at := make(map[int32]int, len(starts))
	for n, i := range starts {
		at[i] = n
	}
	for n, i := range lasts {
		list[n].Next = -1
		if next, runsOn := at[i]; runsOn {
			list[n].Next = next
		}
	}
	return list
}

// feeders counts the channels that run into a cell.
func (r *routing) feeders(i int, wet []bool) int {
	n := 0
	col, row := i%r.cols, i/r.cols
	for k := range ways {
		j := i + r.step[k]
		if r.within(col+stepCols[k], row+stepRows[k]) && wet[j] && int(r.dir[j]) == k^2 {
			n++
		}
	}
	return n
}

// follow traces a line from its first cell, and tells its last, where another
// may begin. It appends the cells to be marked beside steps to a corner.
func (r *routing) follow(first int, upslope []int32, wet []bool, corners []int32) (Line, int32, []int32) {
	line := Line{HeadM2: float64(upslope[first]) * r.cellM2(first)}
	i, mouth, was := first, first, void
	line.add(r, i, false)
	for r.dir[i] < ways {
		k := r.dir[i]
		if k >= southEast {
			corners = append(corners, r.beside(i, k))
		}
		line.LengthM += r.stepM(i, k)
		i += r.step[k]
		line.add(r, i, k == was)
		was = k
		if !wet[i] || r.feeders(i, wet) > 1 {
			break
		}
		mouth = i
	}
	line.MouthM2 = float64(upslope[mouth]) * r.cellM2(mouth)
	return line, int32(i), corners
}

// add takes a cell into the path, in place of the last where the way is straight.
func (l *Line) add(r *routing, i int, straight bool) {
	col, row := r.place(i)
	if straight {
		l.Path = l.Path[:len(l.Path)-1]
	}
	l.Path = append(l.Path, [2]float64{col, row})
}

// beside is the lower of the two cells that lie beside a step to a corner, of
// equals the one in the row of the step's start. Of a void and another cell it is
// the other; of two voids, between which nothing drives, the start itself.
func (r *routing) beside(i int, way uint8) int32 {
	along := i + stepCols[way]
	across := i + stepRows[way]*r.cols
	switch {
	case r.z[along] <= r.z[across], r.dir[across] == void && r.dir[along] != void:
		return int32(along)
	case r.dir[across] != void:
		return int32(across)
	}
	return int32(i)
}
