package main

import (
	"slices"
	"strings"
)

// edit puts text around a stretch of a file, or in its place. Lines stay where they
// are.
type edit struct {
	site        int
	start, end  int // offsets
	open, close string
	instead     bool // open stands in place of the stretch
}

// weave makes the text of a file with its edits, those of some sites left out.
func weave(f *file, edits []edit, without map[int]bool) string {
	type piece struct {
		at   int
		less [3]int // order of pieces at one place
		text string
		skip int
	}
	var pieces []piece
	for i, e := range edits {
		if without[e.site] {
			continue
		}
		if e.instead {
			pieces = append(pieces, piece{at: e.start, less: [3]int{1, -e.end, 0}, text: e.open, skip: e.end - e.start})
			continue
		}
		// What ends at a place is closed before what begins there is opened; inner closes
		// before outer, outer opens before inner. Of edits of one stretch the earlier is outer.
		pieces = append(pieces,
			piece{at: e.start, less: [3]int{1, -e.end, i}, text: e.open},
			piece{at: e.end, less: [3]int{0, -e.start, -i}, text: e.close})
	}
	slices.SortStableFunc(pieces, func(a, b piece) int {
		if a.at != b.at {
			return a.at - b.at
		}
		return slices.Compare(a.less[:], b.less[:])
	})
	var out strings.Builder
	at := 0
	for _, p := range pieces {
		out.Write(f.src[at:p.at])
		out.WriteString(p.text)
		at = p.at + p.skip
	}
	out.Write(f.src[at:])
	return out.String()
}
