package sheet

import (
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// acresTables are the table of bands and, of several lots, one of lots.
func (p *Page) acresTables(t totals) section {
	s := section{ID: acresSection, Heading: p.Map.Units.Either("Acres", "Hectares")}
	rows := tableCells(t, p.Map)
	columns := len(rows[0]) - 1
	for i, row := range rows {
		rows[i] = make([]string, columns) // names, without keys
		copy(rows[i], row[1:])
	}
	rows[0][0] = "zone"
	last := rows[len(rows)-1]
	last[0] = "parcel"
	if t.lots > 1 {
		last[0] = "all lots"
	}
	t.sumCertainty(rows[0], last)
	if p.Map.View == zoning.AsPlanned {
		dropColumn(rows, "if "+string(otherGround(p.Map))) // of the fleet, not of the crew
	}
	s.Tables = append(s.Tables, table{Rows: rows, Words: 1, Total: true})
	if t.lots > 1 {
		s.Tables = append(s.Tables, p.lotTable(t))
	}
	return s
}

// dropColumn takes the column under a head out of a table, where it has one.
func dropColumn(rows [][]string, head string) {
	at := slices.Index(rows[0], head)
	if at < 0 {
		return
	}
	for i, row := range rows {
		if at < len(row) {
			rows[i] = slices.Delete(row, at, at+1)
		}
	}
}

// sumCertainty writes under the acres that are sure and those to verify their sums.
func (t totals) sumCertainty(head, last []string) {
	sure, walk, sight := 0.0, 0.0, 0.0
	for _, b := range t.bands {
		if b.sureAcres == b.sureAcres {
			sure, walk, sight = sure+b.sureAcres, walk+b.walkAcres(), sight+b.sightAcres
		}
	}
	for i, h := range head {
		switch h {
		case sureHead:
			last[i] = t.acresText(sure)
		case walkHead:
			last[i] = t.acresText(walk)
		case sightHead:
			last[i] = t.acresText(sight)
		}
	}
}

// lotTable has a row for each lot.
func (p *Page) lotTable(t totals) table {
	bands := p.Map.Fleet.Bands()
	head := []string{"lot", t.units.Areas()}
	var shown []int
	for i, b := range t.bands {
		if b.acres > 0 {
			shown = append(shown, i)
			head = append(head, bandName(p.Map.Fleet, i))
		}
	}
	rows := [][]string{head}
	for _, lot := range p.Map.Lots {
		acres := make([]float64, len(bands))
		for _, z := range lot.Zones {
			acres[z.Band] = z.Acres
		}
		row := []string{text.OneLine(lot.Lot), t.acresText(lot.Acres)}
		for _, b := range shown {
			row = append(row, t.acresText(acres[b]))
		}
		rows = append(rows, row)
	}
	return table{Rows: rows, Words: 1}
}
