package sheet

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/text"
)

// foundText says where a raster that lies on a server is from, and how old it is; "" of any other.
func foundText(s terrain.Source) string {
	f := s.Found
	var parts []string
	if f.Service != "" {
		parts = append(parts, "found by "+text.OneLine(f.Service))
		if f.Project != "" {
			parts = append(parts, "project "+text.OneLine(f.Project))
		}
		if s.Surveyed == "" {
			parts = append(parts, "survey date not told")
		}
	}
	if s.Surveyed != "" && len(parts) > 0 {
		parts = append(parts, "surveyed "+text.OneLine(s.Surveyed))
	}
	if f.Published != "" {
		parts = append(parts, "published "+text.OneLine(f.Published))
	}
	if f.Fetched != "" {
		parts = append(parts, "fetched "+text.OneLine(f.Fetched))
	}
	return strings.Join(parts, ", ")
}

// foundLines are those words for each raster that they are known of, the same ones once.
func foundLines(sources []terrain.Source) []string {
	var lines []string
	said := map[string]bool{}
	more := 0
	for _, s := range sources {
		words := foundText(s)
		switch {
		case words == "" || said[words]:
		case len(lines) == maxSources:
			more++
		default:
			lines = append(lines, words)
		}
		said[words] = true
	}
	if more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	return lines
}
