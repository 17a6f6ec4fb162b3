package sheet

import "github.com/acreband/acreband/zoning/sheet/internal/scripts"

// inOrder are the sections for a browser: names that run to the left do not change places
// with the figures beside them, as in pictures and on paper. The sections given stay.
func (c contents) inOrder() contents {
	out := make(contents, len(c))
	for i, s := range c {
		s.Heading = scripts.InOrder(s.Heading)
		s.Lines, s.Items, s.Blanks = allInOrder(s.Lines), allInOrder(s.Items), allInOrder(s.Blanks)
		tables := make([]table, len(s.Tables))
		for k, t := range s.Tables {
			rows := make([][]string, len(t.Rows))
			for n, row := range t.Rows {
				rows[n] = allInOrder(row)
			}
			t.Rows = rows
			tables[k] = t
		}
		s.Tables = tables
		out[i] = s
	}
	return out
}

func allInOrder(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = scripts.InOrder(w)
	}
	return out
}
