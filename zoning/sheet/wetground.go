package sheet

import "github.com/acreband/acreband/zoning"

// wetAcres are acres of a crew in the state of the ground that a map is drawn for, and what
// the other state takes off them and adds to them.
type wetAcres struct{ now, loss, gain float64 }

// wetAcresOf are the acres of machines of some bits; not known where the other state was not
// asked, or the map holds no cells.
func wetAcresOf(zm *zoning.ZoneMap, crew zoning.Mask) (w wetAcres, known bool) {
	if zm.Cells == nil || zm.Cells.Otherwise == nil {
		return w, false
	}
	for _, lot := range zm.Lots {
		if lot.Coverage == nil {
			return w, false
		}
		var cells wetAcres
		all := 0.0
		lot.Coverage.EachCell(func(col, row int, share float64) {
			all += share
			if col < 0 || row < 0 || col >= zm.Cells.Cols || row >= zm.Cells.Rows {
				return
			}
			i := row*zm.Cells.Cols + col
			here, there := mayWork(zm.Cells.Masks[i], crew), mayWork(zm.Cells.Otherwise[i], crew)
			if here {
				cells.now += share
			}
			switch {
			case here && !there:
				cells.loss += share
			case there && !here:
				cells.gain += share
			}
		})
		if all > 0 { // cells of one lot are of one size, within what is told
			each := lot.Acres / all
			w.now, w.loss, w.gain = w.now+each*cells.now, w.loss+each*cells.loss, w.gain+each*cells.gain
		}
	}
	return w, true
}
