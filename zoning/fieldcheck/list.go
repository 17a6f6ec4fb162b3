package fieldcheck

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
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
	fmt.Fprintf(&b, "%d spots to measure with a clinometer, %d of them sighted from toe or crest\n\n", len(c.Spots), sighted)
	for _, s := range c.Cautions() {
		fold(&b, "caution  ", s)
	}
	for i, s := range c.Spots {
		if i == 0 || c.Spots[i-1].Lot != s.Lot || c.Spots[i-1].Band != s.Band {
			fmt.Fprintf(&b, "\nlot %s, %s\n", oneLine(s.Lot), s.Band)
		}
		fmt.Fprintf(&b, "\n%-6s %-40s reading ______ %% / deg\n", s.ID, s.expects())
		if s.Sight == nil {
			fold(&b, "       at   ", degrees(s.At))
		}
		fold(&b, "       why  ", s.why())
		fold(&b, "       do   ", c.Do(s))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// fold writes a label and words, folded at spaces and set in below the label.
func fold(b *strings.Builder, label, words string) {
	line, used := label, utf8.RuneCountInString(label)
	indent := used
	for i, word := range strings.Fields(words) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case used+1+n > listWidth:
			b.WriteString(line + "\n")
			line, used = strings.Repeat(" ", indent), indent
		default:
			line, used = line+" ", used+1
		}
		line, used = line+word, used+n
	}
	b.WriteString(line + "\n")
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// WriteCSV writes the spots as a table whose columns slope and note are empty: filled
// in, it is a file of readings. lat and lon are where to stand.
func (c *Checks) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"id", "slope", "note", "lot", "zone", "mapped_pct", "limit_pct", "on_foot", "lat", "lon", "why", "do"}}
	for _, s := range c.Spots {
		limit, foot, at := "", "yes", s.Stand()
		if s.LimitPct > 0 {
			limit = fmt.Sprintf("%.4g", s.LimitPct)
		}
		if s.Sight != nil {
			foot = "no"
		}
		rows = append(rows, []string{s.ID, "", "", oneLine(s.Lot), s.Band, fmt.Sprintf("%.1f", s.MappedPct), limit, foot,
			fmt.Sprintf("%.7f", at[1]), fmt.Sprintf("%.7f", at[0]), s.why(), c.Do(s)})
	}
	return out.WriteAll(rows)
}
