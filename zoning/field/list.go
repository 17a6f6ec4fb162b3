package field

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning/text"
)

// listWidth is how many characters a line of the printed list may take.
const listWidth = 96

// WriteText writes the spots as a list to print: what to mind, then each spot with
// a line to write its reading on.
func (c *Checks) WriteText(w io.Writer) error {
	var b strings.Builder
	sighted := 0
	for _, s := range c.Spots {
		if s.Sight != nil {
			sighted++
		}
	}
	fmt.Fprintf(&b, "%s, %d of them sighted from toe or crest\n\n", c.title(), sighted)
	for _, s := range c.Cautions() {
		text.Fold(&b, "caution  ", s, listWidth)
	}
	for i, s := range c.Spots {
		if i == 0 || c.Spots[i-1].Lot != s.Lot || c.Spots[i-1].Band != s.Band {
			fmt.Fprintf(&b, "\nlot %s, %s\n", text.OneLine(s.Lot), s.Band)
		}
		fmt.Fprintf(&b, "\n%-6s %-40s reading ______ %% / deg\n", s.ID, s.expects())
		if s.Sight == nil {
			text.Fold(&b, "       at   ", degrees(s.At), listWidth)
		}
		text.Fold(&b, "       why  ", s.why(), listWidth)
		text.Fold(&b, "       do   ", c.Do(s), listWidth)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// title heads a list of the spots.
func (c *Checks) title() string {
	return fmt.Sprintf("%d spots to measure with a clinometer, of the map %s", len(c.Spots), c.View.Words())
}

// WriteCSV writes the spots as a table whose columns slope and note are empty: filled
// in, it is a file of readings. lat and lon are where to stand; the other columns have the
// values that the GeoJSON has under their names.
func (c *Checks) WriteCSV(w io.Writer) error {
	out := text.NewTable(w)
	out.Row("id", "slope", "note", "lot", "zone", "mapped_pct", "limit_pct", "on_foot", "lat", "lon", "why", "do", "view")
	for _, s := range c.Spots {
		limit, at := "", s.Stand()
		if s.LimitPct > 0 {
			limit = plainNumber(s.LimitPct)
		}
		out.Row(s.ID, "", "", text.OneLine(s.Lot), s.Band, plainNumber(round3(s.MappedPct)), limit, strconv.FormatBool(s.Sight == nil),
			fmt.Sprintf("%.7f", at[1]), fmt.Sprintf("%.7f", at[0]), s.why(), c.Do(s), c.View.Words())
	}
	return out.Flush()
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
