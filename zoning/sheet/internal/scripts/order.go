package scripts

import (
	"slices"

	"github.com/go-text/typesetting/bidi"
	classes "golang.org/x/text/unicode/bidi"
)

// Marks that have a direction and no shape.
const leftToRight, rightToLeft = '\u200E', '\u200F'

// levels are the embedding levels of a line's runes: 1 runs to the left, 0 and 2 to the
// right, 2 within what runs to the left.
func levels(line []rune) []int {
	base, direction := rightToLeft, bidi.RightToLeft
	if !slices.ContainsFunc(line, leftward) || slices.ContainsFunc(line, rightward) {
		base, direction = leftToRight, bidi.LeftToRight
	}
	// The mark ahead settles the line's direction; one before a figure keeps the figure in it.
	marked, at := []rune{base}, make([]int, len(line))
	last := base
	for i, r := range line {
		switch {
		case base == leftToRight && last == rightToLeft && class(r) == classes.EN:
			marked = append(marked, leftToRight)
			last = leftToRight
		case leftward(r):
			last = rightToLeft
		case rightward(r):
			last = leftToRight
		}
		at[i] = len(marked)
		marked = append(marked, r)
	}
	odd := leftwardOf(marked, direction)
	out := make([]int, len(line))
	for i, r := range line {
		switch {
		case odd[at[i]]:
			out[i] = 1
		case base == rightToLeft || class(r) == classes.AN:
			out[i] = 2
		}
	}
	return out
}

// leftwardOf reports of each rune of a paragraph whether it runs to the left. The library's
// runs tell that; of their levels they give the first alone.
func leftwardOf(paragraph []rune, base bidi.Direction) []bool {
	var p bidi.Paragraph
	runs := p.Segment(paragraph, base)
	out := make([]bool, len(paragraph))
	for i := range runs.NumRuns() {
		r := runs.Run(i)
		for k := r.Start; k < r.End; k++ {
			out[k] = r.Level%2 == 1
		}
	}
	return out
}

func class(r rune) classes.Class {
	p, _ := classes.LookupRune(r)
	return p.Class()
}

// leftward and rightward report whether a rune is a letter of that direction.
func leftward(r rune) bool  { c := class(r); return c == classes.R || c == classes.AL }
func rightward(r rune) bool { return class(r) == classes.L }

// fromLeft puts runs in the order in which they stand, by rule L2 of UAX #9.
func fromLeft(runs []run) {
	top := 0
	for _, r := range runs {
		top = max(top, r.level)
	}
	for ; top > 0; top-- {
		for i := 0; i < len(runs); i++ {
			first := i
			for i < len(runs) && runs[i].level >= top {
				i++
			}
			slices.Reverse(runs[first:i])
		}
	}
}
