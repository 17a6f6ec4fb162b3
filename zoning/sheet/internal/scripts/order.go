package scripts

import (
	"slices"

	"github.com/go-text/typesetting/bidi"
	classes "golang.org/x/text/unicode/bidi"
)

// Marks that have a direction and no shape.
const leftToRight, rightToLeft = '\u200E', '\u200F'

// Marks that set a stretch of text apart and run it to the left.
const leftwardIsolate, endOfIsolate = "\u2067", "\u2069"

// InOrder is text that a browser, in a page that runs to the right, puts in the order in
// which [Set] does: with marks that are not drawn.
func InOrder(words string) string {
	line := []rune(words)
	switch {
	case !slices.ContainsFunc(line, leftward):
		return words
	case !slices.ContainsFunc(line, rightward):
		return leftwardIsolate + words + endOfIsolate
	}
	marked, _ := keepFigures(append(line, '0')) // for a figure that the page puts after it
	return string(marked[:len(marked)-1])
}

// keepFigures puts a mark before each figure that follows what runs to the left, so that
// the figure stays in a line that runs to the right. It tells where each rune is now.
func keepFigures(line []rune) (marked []rune, at []int) {
	at = make([]int, len(line))
	last := leftToRight
	for i, r := range line {
		switch {
		case last == rightToLeft && class(r) == classes.EN:
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
	return marked, at
}

// levels are the embedding levels of a line's runes: 1 runs to the left, 0 and 2 to the
// right, 2 within what runs to the left.
func levels(line []rune) []int {
	out := make([]int, len(line))
	if slices.ContainsFunc(line, leftward) && !slices.ContainsFunc(line, rightward) {
		odd := leftwardOf(line, rightToLeft, bidi.RightToLeft)
		for i := range line {
			out[i] = 2
			if odd[i] {
				out[i] = 1
			}
		}
		return out
	}
	marked, at := keepFigures(line)
	odd := leftwardOf(marked, leftToRight, bidi.LeftToRight)
	for i, r := range line {
		switch {
		case odd[at[i]]:
			out[i] = 1
		case class(r) == classes.AN:
			out[i] = 2
		}
	}
	return out
}

// leftwardOf reports of each rune of a line whether it runs to the left; the mark ahead
// settles the line's own direction. The library's runs tell that; of their levels they give
// the first alone.
func leftwardOf(line []rune, mark rune, direction bidi.Direction) []bool {
	var p bidi.Paragraph
	runs := p.Segment(append([]rune{mark}, line...), direction)
	out := make([]bool, len(line)+1)
	for i := range runs.NumRuns() {
		r := runs.Run(i)
		for k := r.Start; k < r.End; k++ {
			out[k] = r.Level%2 == 1
		}
	}
	return out[1:]
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
