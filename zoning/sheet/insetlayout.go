package sheet

import (
	"math"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Measures of insets, in points.
const (
	insetGap     = 8.0
	insetHead    = 17.0 // of the words above an inset
	insetBar     = 30.0 // of the scale bar below it
	overallShare = 0.24 // of the frame's width, where it is beside the insets
	overallFlat  = 0.16 // of its height, above them
	overallLeast = 48.0
	partSize     = 9.0
	insetBarMost = 0.6 // of an inset's width
)

// overallBoxes are where the map of all may go, and what it leaves to the insets: to their left
// or above them. There is none where the frame is small.
func (j *jobMap) overallBoxes() (overall, rest []drawing.Box) {
	if min(j.frame.Width(), j.frame.Height()) < 3*overallLeast {
		return []drawing.Box{{}}, []drawing.Box{j.frame}
	}
	wide, tall := j.frame.Width()*overallShare, j.frame.Height()*overallFlat
	steep := j.plane.halfH / j.plane.halfW
	left := drawing.Box{Right: wide, Bottom: min(j.frame.Bottom-insetBar, max(wide*steep, overallLeast))}
	above := drawing.Box{Bottom: max(min(tall, j.frame.Width()*steep), overallLeast)}
	above.Right = min(j.frame.Width(), max(above.Bottom/steep, overallLeast))
	besideIt, belowIt := j.frame, j.frame
	besideIt.Left, belowIt.Top = left.Right+insetGap, above.Bottom+insetBar+insetGap
	return []drawing.Box{left, above}, []drawing.Box{besideIt, belowIt}
}

// boxes are where the map of all goes and the insets, so that the part that is drawn smallest
// is largest; metres are those in a point there.
func (j *jobMap) boxes() (overall drawing.Box, insets []drawing.Box, metres float64) {
	metres = math.Inf(1)
	all, rest := j.overallBoxes()
	for i := range all {
		if boxes, m := j.insetBoxes(rest[i]); m < metres {
			overall, insets, metres = all[i], boxes, m
		}
	}
	return overall, insets, metres
}

// insetBoxes divide a box among the parts, in the rows and columns in which the part that is
// drawn smallest is largest; least are the metres in a point there.
func (j *jobMap) insetBoxes(in drawing.Box) (best []drawing.Box, least float64) {
	n := len(j.parts)
	least = math.Inf(1)
	for columns := 1; columns <= n; columns++ {
		rows := (n + columns - 1) / columns
		w := (in.Width() - insetGap*float64(columns-1)) / float64(columns)
		h := (in.Height()-insetGap*float64(rows-1))/float64(rows) - insetHead - insetBar
		if w <= 0 || h <= 0 {
			continue
		}
		boxes, metres := make([]drawing.Box, n), 0.0
		for i, p := range j.parts {
			left, top := in.Left+float64(i%columns)*(w+insetGap), in.Top+insetHead+float64(i/columns)*(insetHead+h+insetBar+insetGap)
			boxes[i] = drawing.Box{Left: left, Top: top, Right: left + w, Bottom: top + h}
			metres = max(metres, (p.east-p.west)/w, (p.north-p.south)/h)
		}
		if metres < least {
			best, least = boxes, metres
		}
	}
	return best, least
}
