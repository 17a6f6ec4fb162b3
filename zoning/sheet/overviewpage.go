package sheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"iter"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
)

//go:embed overview.html.tmpl
var overviewText string

//go:embed overview.css
var overviewStyle string

var overviewPage = template.Must(template.Must(htmlPage.Clone()).New("overview").Parse(overviewText))

// Run is what a sheet tells of a run beside its lots, in the units of their sum.
type Run struct {
	Sum    *zoning.ZoneMap // of its lots, see [zoning.Collection.Sum]
	Rounds []Round         // of each machine that has work
	Cover  string          // by which days were reckoned; "" where they were not
	Paper  Paper           // "" is Letter
}

type overviewHTML struct {
	Title, Lead   string
	Short, Alerts []string
	Policy        string
	Style         template.CSS
	Map           *overviewMapHTML // nil where no lot has a place
	MapNotes      []string
	Key           []htmlKey
	Zones         section
	Lots          *lotTableHTML // nil where none was mapped
	Failed        *section      // nil where none failed
	Plan          section
	Rounds        []roundHTML
	Back          []section
	Caution       string
}

type overviewMapHTML struct {
	Width, Height, Words string
	Ground, Wide, Narrow template.HTML
	Bars                 []htmlBars
}

// WriteHTML writes the sheet as one HTML page that needs nothing else: no script, no
// other file, no network. It goes through the lots that were added, in the same order
// and with their outlines, and draws them. An error of theirs ends it.
func (o *Overview) WriteHTML(w io.Writer, r Run, lots iter.Seq2[OverviewLot, error]) error {
	if err := o.check(r, lots); err != nil {
		return err
	}
	run := *o
	run.decimals, run.units = r.decimals(), r.Sum.Units
	o = &run
	width, height := r.Paper.size()
	style := strings.Replace(baseText+overviewStyle, "PAPER", fmt.Sprintf("%.2fpt %.2fpt", width, height), 1)
	s := overviewHTML{
		Title: o.title(), Lead: o.lead(), Short: o.inShort(), Alerts: allInOrder(o.alerts(r)), Key: o.key(),
		Zones: o.zones(r), Lots: o.lotTable(), Failed: o.failureTable(), Plan: o.plan(r), Rounds: o.roundLists(r),
		Back: []section{o.limits(), o.sources(r), o.assumed(r), o.cautions(r)}, Caution: caution,
		Style:  template.CSS(style),
		Policy: "default-src 'none'; img-src data:; style-src " + hashOf(style) + "; base-uri 'none'; form-action 'none'",
	}
	if m, ok := newOverviewMap(o); ok {
		drawn, err := m.html(lots)
		if err != nil {
			return err
		}
		s.Map, s.MapNotes = &drawn, m.notes()
	} else {
		s.MapNotes = []string{"No lot has a place that could be drawn."}
	}
	var b strings.Builder
	if err := overviewPage.ExecuteTemplate(&b, "overview", s); err != nil {
		return fmt.Errorf("the sheet cannot be written as HTML: %w", err)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// html draws the map.
func (m *overviewMap) html(lots iter.Seq2[OverviewLot, error]) (out overviewMapHTML, err error) {
	wide, narrow := m.cuts(&m.wide), m.cuts(&m.narrow)
	picture, err := m.draw(lots)
	if err != nil {
		return out, err
	}
	out = overviewMapHTML{
		Width: fmt.Sprintf("%.2f", m.frame.Right), Height: fmt.Sprintf("%.2f", m.frame.Bottom),
		Words:  "Map of the lots, north up, in the colors of what they need. The list of lots below says the same in figures.",
		Ground: template.HTML(drawing.SVG([]drawing.Shape{picture})),
		Wide:   template.HTML(drawing.SVG(append(wide, m.wide.shapes...))), Narrow: template.HTML(drawing.SVG(append(narrow, m.narrow.shapes...))),
	}
	for _, b := range []struct {
		class string
		scale float64
	}{{"wide", wideText}, {"narrow", narrowText}} {
		c := &column{page: &drawing.Page{}, width: m.frame.Right, scale: b.scale}
		scaleAndNorth(c, reliefPx*m.metres, "", m.o.units)
		out.Bars = append(out.Bars, htmlBars{b.class, fmt.Sprintf("%.2f", c.y), template.HTML(drawing.SVG(c.page.Shapes))})
	}
	return out, nil
}

// notes tell how to read the map.
func (m *overviewMap) notes() []string {
	out := []string{"A lot is drawn whole in the color of what it needs: where in it, zones.geojson tells."}
	if m.small > 0 {
		out = append(out, fmt.Sprintf("%s are less than %s across and drawn larger than they are.", lotsText(m.small), distanceText(m.o.units, leastLot*m.metres)))
	}
	if len(m.x.cuts)+len(m.y.cuts) > 0 {
		out = append(out, "Lots lie far apart: strips without any are left out at the broken lines, and the scale is that of the lots.")
	}
	if m.beyond > 0 {
		out = append(out, fmt.Sprintf("%s without a map lie beyond this picture, or have no outline.", lotsText(m.beyond)))
	}
	return out
}

// key explains what lots need, hardest last, with how many there are.
func (o *Overview) key() []htmlKey {
	var out []htmlKey
	for k, g := range o.groups {
		if g.lots > 0 {
			n := need(k)
			out = append(out, htmlKey{Swatch: n.swatch(len(o.fleet)), Words: scripts.InOrder(n.words(o.fleet)), More: o.groupWords(&g)})
		}
	}
	if o.failed > 0 {
		out = append(out, htmlKey{Swatch: template.HTML(drawing.SVG(hatchedSwatch(swatchBox, failedGround, failedHatching))), Words: "No map: it failed", More: lotsText(o.failed)})
	}
	return out
}

func (n need) swatch(machines int) template.HTML {
	g, _, h := n.ground(machines)
	return template.HTML(drawing.SVG(hatchedSwatch(swatchBox, g, h)))
}

// groupWords tell how much a group is.
func (o *Overview) groupWords(g *needGroup) string {
	return lotsText(g.lots) + ", " + o.areaText(g.acres)
}

func lotsText(n int) string {
	if n == 1 {
		return "1 lot"
	}
	return grouped(float64(n), 0) + " lots"
}

// decimals are those of a run's acres: as on any sheet of several lots, no more than the
// coarsest cells under its lots carry.
func (r Run) decimals() int {
	several := zoning.ZoneMap{Lots: make([]zoning.LotMap, 2), Sources: r.Sum.Sources, SourceAcres: r.Sum.SourceAcres}
	return several.AcreDecimals()
}

// totals are no acres, to be written as those of the run.
func (o *Overview) totals() totals { return totals{units: o.units, decimals: o.decimals} }

// acresText writes acres of the run in its units.
func (o *Overview) acresText(acres float64) string { return o.totals().acresText(acres) }

// areaText is acresText with the word behind it.
func (o *Overview) areaText(acres float64) string { return o.totals().areaText(acres) }
