package main

import (
	"io"
	"slices"
	"strings"

	"github.com/acreband/acreband/cmd/acreband/internal/page"
)

// pageOutputs are all the files that map writes, as the page offers them: what people
// look at first.
func pageOutputs(f *sheetFlags) []page.Output {
	first := []string{"sheet.pdf", "sheet.html", "map.png", "zones.png", "zones.geojson"}
	var out []page.Output
	for _, w := range writers {
		for i, file := range w.files(results{sheetFlags: f}) {
			out = append(out, page.Output{
				Name: file.name, Type: mediaTypes[file.name[strings.LastIndexByte(file.name, '.'):]], Words: fileWords[file.name],
				Write: func(to io.Writer, made *page.Result) error {
					r := results{sheetFlags: f, ground: made.Ground, zones: made.Map, plan: made.Plan}
					return w.filesOf(r, func() (results, error) { err := r.pickChecks(); return r, err })[i].write(to)
				},
			})
		}
	}
	rank := func(o page.Output) int {
		if i := slices.Index(first, o.Name); i >= 0 {
			return i
		}
		return len(first)
	}
	slices.SortStableFunc(out, func(a, b page.Output) int { return rank(a) - rank(b) })
	return out
}
