package sheet

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
	"github.com/acreband/acreband/zoning/text"
)

// frontSections is how many sections stand on the first page of paper.
const frontSections = 6

//go:embed sheet.html.tmpl
var htmlText string

// baseText is what all sheets look like, cssText what the sheet of a job does.
//
//go:embed base.css
var baseText string

//go:embed sheet.css
var cssText string

//go:embed sheet.js
var jsText string

var htmlPage = template.Must(template.New("sheet").Parse(htmlText))

// htmlMap is the map in its layers: only its zones answer to who touches them.
type htmlMap struct {
	Width, Height string
	Base, Over    template.HTML
	Wide, Narrow  template.HTML // marks and words on paper, and where the page is a hand wide
	Bars          []htmlBars
	Zones         []htmlZone
	Beside        bool // whether its key stands beside it
	Insets        bool // whether it is several maps, each in a frame
	Key           []htmlKey
}

// htmlBars are the scale bar and the north arrow for one width of screen.
type htmlBars struct {
	Class, Height string
	Drawn         template.HTML
}

type htmlZone struct{ Path, Label, Numbers string }

type htmlKey struct {
	Swatch             template.HTML
	Words, More, Acres string
}

type htmlSheet struct {
	Title, Date, Caution string
	Metric               bool
	Policy               string
	Style                template.CSS
	Script               template.JS
	Front, Back          []section // on the first page of paper, and on the second
	Map                  htmlMap
	Places               []htmlPlace // one of each inset
	Readings             htmlReadings
}

// WriteHTML writes the sheet as one HTML page that needs nothing else: no other file,
// no network. A zone tells its numbers to a pointer, a finger and a keyboard; printed,
// the page makes two or three pages of paper.
func (p *Page) WriteHTML(w io.Writer) error {
	l, err := p.layOut(false)
	if err != nil {
		return err
	}
	return l.writeHTML(w)
}

func (l *laid) writeHTML(w io.Writer) error {
	width, height := l.Paper.size()
	style := strings.NewReplacer("PAPER", fmt.Sprintf("%.2fpt %.2fpt", width, height),
		"FRONT", fmt.Sprintf("%.2f", l.front.scale), "BACK", fmt.Sprintf("%.2f", l.backScale)).Replace(baseText + cssText + fieldCSS)
	all, title := l.contents.inOrder(), l.title(l.totals)
	script := jsText + fieldJS
	s := htmlSheet{
		Title: title, Date: text.OneLine(l.Date), Caution: caution, Metric: l.Map.Units == measure.Metric, Front: all[:frontSections], Back: all[frontSections:], Map: l.htmlMap(),
		Style: template.CSS(style), Script: template.JS(script),
		Places: l.m.places(), Readings: l.readings(title),
		// Nothing but this very style and script, and pictures inside the page.
		Policy: "default-src 'none'; img-src data:; style-src " + hashOf(style) + "; script-src " + hashOf(script) + "; base-uri 'none'; form-action 'none'",
	}
	var b strings.Builder
	if err := htmlPage.Execute(&b, s); err != nil {
		return fmt.Errorf("the sheet cannot be written as HTML: %w", err)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// hashOf allows a text by its hash in a content security policy (CSP Level 3).
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

func (l *laid) htmlMap() htmlMap {
	j, t := l.m, l.totals
	narrow, key := l.narrow()
	over := j.layered(func(p *pane) []drawing.Shape { return p.over })
	if j.parts != nil {
		over = append(over, j.frames()...)
	}
	out := htmlMap{
		Beside: l.front.beside, Insets: j.parts != nil,
		Width: fmt.Sprintf("%.2f", j.frame.Right), Height: fmt.Sprintf("%.2f", j.frame.Bottom),
		Base: template.HTML(drawing.SVG(j.base())), Over: template.HTML(drawing.SVG(over)),
		Wide: template.HTML(drawing.SVG(l.wide)), Narrow: template.HTML(drawing.SVG(narrow)),
	}
	for _, b := range []struct {
		class string
		scale float64
	}{{"wide", wideText}, {"narrow", narrowText}} {
		c := &column{page: &drawing.Page{}, width: j.frame.Right, scale: b.scale}
		j.bars(c)
		out.Bars = append(out.Bars, htmlBars{b.class, fmt.Sprintf("%.2f", c.y), template.HTML(drawing.SVG(c.page.Shapes))})
	}
	for _, p := range j.panes {
		for _, z := range p.zones {
			if len(z.path.Lines) == 0 && j.parts != nil { // in another inset
				continue
			}
			lot := j.page.Map.Lots[z.lot]
			lines := allInOrder(zoneNumbers(t, j.page.Map, lot, lot.Zones[z.zone]))
			path := drawing.Moved([]drawing.Shape{z.path}, p.at)[0].(drawing.Path)
			out.Zones = append(out.Zones, htmlZone{drawing.PathData(path.Lines, path.Closed), strings.Join(lines, "; "), strings.Join(lines, "\n")})
		}
	}
	for _, e := range key {
		acres := e.acres
		if acres != "" {
			acres += " " + t.units.Areas()
		}
		out.Key = append(out.Key, htmlKey{template.HTML(drawing.SVG(e.swatch)), scripts.InOrder(e.words), scripts.InOrder(e.more), acres})
	}
	return out
}
