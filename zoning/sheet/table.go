package sheet

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// errNoLot says that a map is empty.
var errNoLot = errors.New("the zone map has no lot; map at least one parcel first")

// tableWidth is how many characters a line of prose may take, and maxNotes how
// many notes about boundaries are written out.
const (
	tableWidth = 100
	labelWidth = 11
	maxNotes   = 8
)

// Table writes a map's acres as plain text: a row for every band of the fleet
// (several lots are added up: acres summed, mean slope weighed by acres), then
// the elevation used, what was assumed, warnings and cautions. Acres have one
// decimal, two where the map holds several lots, and none that the cells do not carry; slopes are in percent.
func Table(w io.Writer, zm *zoning.ZoneMap) error {
	if err := Zones(w, zm); err != nil {
		return err
	}
	return Remarks(w, zm)
}

// Zones writes the rows of [Table] and an empty line.
func Zones(w io.Writer, zm *zoning.ZoneMap) error {
	if err := checkLots(zm); err != nil {
		return err
	}
	t := totalsOf(zm)
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s\n\n", t.name, t.areaText(t.acres))
	text.Columns(&b, tableCells(t, zm), 2)
	b.WriteString("\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// Remarks writes what [Table] says below its rows.
func Remarks(w io.Writer, zm *zoning.ZoneMap) error {
	if err := checkLots(zm); err != nil {
		return err
	}
	t := totalsOf(zm)
	var b strings.Builder
	writeWorkable(&b, t, zm)
	if len(zm.Sources) == 0 {
		writeProse(&b, "elevation", elevationText(nil))
	}
	for i, s := range zm.Sources {
		words := s.Path + ": " + elevationText(zm.Sources[i:i+1])
		if found := foundText(s); found != "" {
			words += "; " + found
		}
		if zm.SourceAcres != nil {
			words += "; under " + t.areaText(zm.SourceAcres[i])
		}
		writeProse(&b, "elevation", words)
	}
	if zm.Surveyed != "" {
		writeProse(&b, "surveyed", zm.Surveyed)
	} else {
		writeProse(&b, "surveyed", "date not known: the ground may have changed since")
	}
	if zm.Scale != "" {
		writeProse(&b, "slope", zm.Scale)
	}
	if zm.Growth != nil {
		writeProse(&b, "growth", growthText(t, zm.Growth))
	}
	if words := t.roundedText(); words != "" {
		writeProse(&b, t.units.Areas(), words)
	}
	if zm.Boundary != "" {
		writeProse(&b, "boundary", boundaryText(t, zm))
	}
	if zm.Error.SigmaM > 0 {
		writeProse(&b, "error", errorText(zm.Error))
	}
	for i, m := range zm.Fleet {
		if m.Basis != "" && t.bands[i].acres > 0 {
			writeProse(&b, "limit", m.Name+" "+limitText(m.SteepestPct())+": "+m.Basis)
		}
	}
	for _, a := range zm.Assumed {
		writeProse(&b, "assumed", a)
	}
	for _, s := range append(zm.Warnings[:len(zm.Warnings):len(zm.Warnings)], fewNotes(zm.Lots)...) {
		writeProse(&b, "warning", s)
	}
	for _, c := range cautionsOf(t, zm) {
		writeProse(&b, "caution", c)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Headings of the columns that part a machine's acres by how sure they are.
const (
	sureHead  = "sure"
	walkHead  = "walk first"
	sightHead = "sight first" // too steep to walk
	checkHead = "walk or sight first"
)

// tableCells lays the table out as rows of cells, its heading first. The last
// two columns are left out where no machine has such a limit.
func tableCells(t totals, zm *zoning.ZoneMap) [][]string {
	fleet := zm.Fleet
	rows := [][]string{{"zone", "machine", "up to", t.units.Areas(), "share", "mean slope", "greatest slope"}}
	otherwise := zm.Otherwise != nil && zm.View == zoning.ByLimits // the other state was not planned
	if otherwise {
		rows[0] = append(rows[0], "if "+string(otherGround(zm)))
	}
	procedure, tether, sure, sight := false, false, false, false
	for _, b := range t.bands {
		sure = sure || b.sureAcres == b.sureAcres
		sight = sight || b.sightAcres > 0
	}
	for _, m := range fleet {
		procedure = procedure || m.ProcedureAbovePct > 0
		tether = tether || m.TetherAbovePct > 0
	}
	if sure {
		rows[0] = append(rows[0], sureHead, walkHead)
		if sight {
			rows[0] = append(rows[0], sightHead)
		}
	}
	if procedure {
		rows[0] = append(rows[0], "written procedure")
	}
	if tether {
		rows[0] = append(rows[0], "tether")
	}
	for i, b := range t.bands {
		if b.acres == 0 && b.Key == zoning.NoGoKey || !zm.View.Has(fleet, i) {
			continue
		}
		var m zoning.Machine
		limit := ""
		if b.Machine >= 0 {
			m = fleet[b.Machine]
			limit = limitText(m.SteepestPct())
		}
		row := []string{text.OneLine(b.Key), text.OneLine(b.Name), limit, t.acresText(b.acres), t.shareText(b.acres),
			slopeText(b.meanPct), slopeText(b.maxPct)}
		if otherwise {
			row = append(row, t.acresText(zm.Otherwise[i]))
		}
		switch {
		case sure && b.sureAcres == b.sureAcres:
			row = append(row, t.acresText(b.sureAcres), t.acresText(b.walkAcres()))
		case sure:
			row = append(row, "", "")
		}
		switch {
		case sight && b.sightAcres > 0:
			row = append(row, t.acresText(b.sightAcres))
		case sight:
			row = append(row, "")
		}
		if procedure {
			row = append(row, t.above(b.procedureAcres, m.ProcedureAbovePct))
		}
		if tether {
			row = append(row, t.above(b.tetherAcres, m.TetherAbovePct))
		}
		rows = append(rows, row)
	}
	whole := "parcel"
	if t.lots > 1 {
		whole = "all lots"
	}
	return append(rows, []string{whole, "", "", t.acresText(t.acres), t.shareText(t.acres)})
}

// above tells the acres steeper than a slope that a machine is asked something
// above; empty where it is not.
func (t totals) above(acres, pct float64) string {
	if !(pct > 0) {
		return ""
	}
	return t.acresText(acres) + " above " + limitText(pct)
}

// fewNotes are at most maxNotes of what was said about the boundaries of lots,
// and how many there are beside.
func fewNotes(lots []zoning.LotMap) []string {
	notes := notesOf(lots)
	if left := len(notes) - maxNotes; left > 0 {
		return append(notes[:maxNotes], fmt.Sprintf("%d more notes on the boundaries of lots are not listed here", left))
	}
	return notes
}

// writeProse writes a labelled line, folded at spaces, what follows set in.
func writeProse(b *strings.Builder, label, words string) {
	text.Fold(b, fmt.Sprintf("%-*s", labelWidth, label), words, tableWidth)
}
