package write

import (
	_ "embed"
	"encoding/xml"
	"fmt"
	"image/color"
	"io"
	"strings"
	"text/template"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/text"
)

// SLD writes how the layer of [Zones] is drawn, by OGC Styled Layer
// Descriptor 1.1 (05-078r4) and Symbology Encoding 1.1 (05-077r4): a rule for each
// band, told apart by colour and by the marks that fill it, for those are what the
// standard has for hatching.
func SLD(w io.Writer, zm *zoning.ZoneMap) error {
	if err := zm.Check(); err != nil {
		return err
	}
	style := sldStyle{Layer: ZonesLayer, Title: title(zm), Words: strings.Join(Remarks(zm), "\n")}
	for i, b := range zm.Fleet.Bands() {
		fill, line := palette.Flat(i, len(zm.Fleet))
		rule := sldRule{Key: b.Key, Title: b.Name, Fill: hex(fill), Line: hex(line), sldMark: markOf(i, len(zm.Fleet))}
		if b.Machine >= 0 {
			rule.Title += ", to " + text.LimitPct(zm.Fleet[b.Machine].SteepestPct())
		}
		style.Rules = append(style.Rules, rule)
	}
	return sldTemplate.Execute(w, style)
}

type sldStyle struct {
	Layer, Title, Words string
	Rules               []sldRule
}

type sldRule struct {
	Key, Title, Fill, Line string
	sldMark
}

// sldMark is one of the marks that every reader of the standard knows; Size is in
// pixels.
type sldMark struct {
	Mark  string
	Size  int
	Solid bool
}

// machineMarks are given to machines in fleet order. There are five, and seven
// colours, so two machines never share both.
var machineMarks = [...]sldMark{{"cross", 9, false}, {"triangle", 9, false}, {"star", 10, false}, {"circle", 8, false}, {"square", 8, false}}

// markOf returns the marks of a band, in a fleet of n machines.
func markOf(band, n int) sldMark {
	switch {
	case band < n:
		return machineMarks[band%len(machineMarks)]
	case band == n:
		return sldMark{"x", 7, false}
	case band == n+1:
		return sldMark{"circle", 3, true}
	}
	return sldMark{"x", 10, false}
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

//go:embed style.sld.tmpl
var sldText string

var sldTemplate = template.Must(template.New("style.sld").Funcs(template.FuncMap{"xml": escaped}).Parse(sldText))

func escaped(text string) (string, error) {
	var b strings.Builder
	err := xml.EscapeText(&b, []byte(text))
	return b.String(), err
}
