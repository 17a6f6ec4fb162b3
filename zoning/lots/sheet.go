package lots

import (
	"iter"

	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
)

// overviewLot is a lot as an overview takes it.
func (a *assembly) overviewLot(f frame, r *record) (lot sheet.OverviewLot, err error) {
	_, _, outline, err := r.cut(f.body)
	if err != nil {
		return lot, err
	}
	lot = sheet.OverviewLot{LotMap: r.lotMap(len(a.fleet)), Hazards: r.Hazards}
	lot.Place = f.place
	if r.Fault != nil {
		lot.Failure = r.Fault.Error()
	}
	if fault := a.unsplit[f.place]; fault != nil {
		lot.Notes = append(lot.Notes[:len(lot.Notes):len(lot.Notes)], fault.Error())
	}
	if lot.Outline, err = groundOf(outline); err != nil {
		return lot, err
	}
	return lot, nil
}

// overviewLots goes through the lots once more.
func (a *assembly) overviewLots() iter.Seq2[sheet.OverviewLot, error] {
	return func(yield func(sheet.OverviewLot, error) bool) {
		for f, err := range a.records() {
			var r record
			if err == nil {
				err = f.parseHead(&r)
			}
			var lot sheet.OverviewLot
			if err == nil {
				lot, err = a.overviewLot(f, &r)
			}
			if !yield(lot, err) || err != nil {
				return
			}
		}
	}
}

// writeSheet writes sheet.html.
func (a *assembly) writeSheet(o Outputs) error {
	w, err := a.files.Create(sheetName)
	if err != nil {
		return err
	}
	r := sheet.Run{Sum: a.sums.Sum(), Rounds: a.made.Plan}
	if o.Book != nil && o.Cover != plan.CoverNotGiven {
		r.Cover = o.Cover.String()
	}
	return a.lots.WriteHTML(w, r, a.overviewLots())
}
