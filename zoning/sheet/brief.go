package sheet

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// The room of a [Brief] on a terminal: so many lines of so many characters.
const (
	BriefLines = 30
	BriefWidth = 80
)

// Brief is the answer of a map in few words, for a terminal: what to bring, what makes that
// void, what stays standing, what kills, and what to do next. What else there is to know of
// the map is in [Table].
type Brief struct {
	Map  *zoning.ZoneMap
	Plan *plan.Plan // nil where nobody planned

	Failed int      // lots that are not on the map
	Read   []string // how what was given was understood, one a line
	Dir    string   // folder of what was written; "" where it went to standard output
	Files  []string // names of what was written there
	Next   string   // what to type next
	Color  bool     // the terminal shows colors
}

// Write writes the brief, in at most [BriefLines] lines of [BriefWidth] characters. A map
// without a lot, and one that [zoning.ZoneMap.Check] refuses, is an error.
func (b *Brief) Write(w io.Writer) error {
	if err := checkLots(b.Map); err != nil {
		return err
	}
	_, err := io.WriteString(w, b.text())
	return err
}

// text shortens part after part until all has room.
func (b *Brief) text() string {
	parts := b.parts(totalsOf(b.Map))
	for _, shorter := range []func(*briefParts){
		func(p *briefParts) { p.wrote.most = 1 },
		func(p *briefParts) { p.elevation.most = 1 },
		func(p *briefParts) { p.warned.each, p.warned.most = 1, 2 },
		func(p *briefParts) { p.dangers.each = 1 },
		func(p *briefParts) { p.left.most = 2 },
		func(p *briefParts) { p.rungs.most = 4 },
		func(p *briefParts) { p.wet.most = 1 },
		func(p *briefParts) { p.next.most = 1 },
		func(p *briefParts) { p.warned.most = 1 },
		func(p *briefParts) { p.bring.most = 4 },
		func(p *briefParts) { p.bring.most = 3 },
	} {
		if len(parts.lines(b.Color)) <= BriefLines {
			break
		}
		shorter(&parts)
	}
	lines := parts.lines(b.Color)
	if len(lines)+parts.gaps() <= BriefLines {
		parts.airy = true
		lines = parts.lines(b.Color)
	}
	return strings.Join(lines, "\n") + "\n"
}

// briefParts are the parts of a brief in their order.
type briefParts struct {
	title                           string
	elevation, credit, read, bring  briefPart
	stop, warned                    briefPart
	rungs                           rungTable
	wet, left, dangers, wrote, next briefPart
	airy                            bool // empty lines around the table
}

// gaps are how many empty lines there are where there is room.
func (p *briefParts) gaps() int {
	if len(p.rungs.rows) == 0 {
		return 1
	}
	return 3
}

func (p *briefParts) lines(color bool) []string {
	ink := inks(color)
	lines := []string{ink(bold, p.title)}
	gap := func() {
		if p.airy {
			lines = append(lines, "")
		}
	}
	for _, part := range []briefPart{p.elevation, p.credit, p.read} {
		lines = append(lines, part.lines(ink)...)
	}
	gap()
	for _, part := range []briefPart{p.bring, p.stop, p.warned} {
		lines = append(lines, part.lines(ink)...)
	}
	if len(p.rungs.rows) > 0 {
		gap()
		lines = append(lines, p.rungs.lines(ink)...)
		gap()
	}
	for _, part := range []briefPart{p.wet, p.left, p.dangers, p.wrote, p.next} {
		lines = append(lines, part.lines(ink)...)
	}
	return lines
}

// partLabel is how many characters the label before a part takes.
const partLabel = 13

// briefPart is a labelled part of a brief, one item or several, each on lines of its own.
type briefPart struct {
	label string
	style string
	items []string
	each  int // the most lines of an item
	most  int // the most lines of all
}

func (p briefPart) lines(ink func(style, words string) string) []string {
	var lines []string
	for i, item := range p.items {
		folded := foldTo(item, BriefWidth-partLabel, p.each)
		if left := len(p.items) - i; left > 1 && len(lines)+len(folded) >= p.most || len(lines)+len(folded) > p.most {
			if room := p.most - len(lines); left == 1 && room > 0 {
				lines = append(lines, foldTo(item, BriefWidth-partLabel, room)...)
				break
			}
			lines = append(lines, fmt.Sprintf("and %d more: see %s", left, setting.Name("details")))
			break
		}
		lines = append(lines, folded...)
	}
	for i := range lines {
		label := strings.Repeat(" ", partLabel)
		if i == 0 {
			label = ink(p.style, p.label) + strings.Repeat(" ", partLabel-utf8.RuneCountInString(p.label))
		}
		lines[i] = label + lines[i]
	}
	return lines
}

// foldTo folds words at spaces to a width, in at most so many lines; what is cut off ends in
// an ellipsis.
func foldTo(words string, width, most int) []string {
	var b strings.Builder
	text.Fold(&b, "", words, width)
	lines := strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
	if len(lines) > most {
		lines = lines[:most]
		last := lines[most-1]
		for utf8.RuneCountInString(last) > width-2 && strings.Contains(last, " ") {
			last = last[:strings.LastIndexByte(last, ' ')]
		}
		lines[most-1] = text.Cut(strings.TrimRight(last, " ,;:."), width-2) + " …"
	}
	return lines
}

// Styles of a terminal (ECMA-48, select graphic rendition).
const (
	bold   = "1"
	red    = "1;31"
	green  = "1;32"
	yellow = "1;33"
)

// inks writes words in a style, where the terminal shows any.
func inks(color bool) func(style, words string) string {
	return func(style, words string) string {
		if !color || style == "" || words == "" {
			return words
		}
		return "\x1b[" + style + "m" + words + "\x1b[0m"
	}
}
