package lots

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/write"
)

// Outputs are the files that a run makes, in its folder.
type Outputs struct {
	Table   bool // lots.csv, a row for each lot
	Zones   bool // zones.geojson
	Package bool // zones.gpkg
	Split   bool // zones, a folder with a GeoJSON file for each lot
	Failed  bool // failed.csv, a row for each lot that failed
	Plan    bool // plan.csv, the order of lots for each machine
	Sheet   bool // sheet.html, the overview of the run

	Book  *plan.Book // figures that days are reckoned by; nil leaves them out
	Cover plan.Cover // on all lots; not given leaves days out
}

// Names of the outputs.
const (
	tableName   = "lots.csv"
	zonesName   = "zones.geojson"
	packageName = "zones.gpkg"
	splitName   = "zones"
	failedName  = "failed.csv"
	planName    = "plan.csv"
	sheetName   = "sheet.html"
)

// OutputsNamed reads a list of output names.
func OutputsNamed(names []string) (o Outputs, err error) {
	for _, n := range names {
		switch n {
		case tableName:
			o.Table = true
		case zonesName:
			o.Zones = true
		case packageName:
			o.Package = true
		case failedName:
			o.Failed = true
		case planName:
			o.Plan = true
		case sheetName:
			o.Sheet = true
		default:
			return o, fmt.Errorf("%q is no output; those are %s, %s, %s, %s, %s and %s", n, tableName, zonesName, packageName, failedName, planName, sheetName)
		}
	}
	return o, nil
}

// assembly makes outputs from journals.
type assembly struct {
	ctx     context.Context // looked at before each lot
	files   *write.Files
	journal []*journal
	order   []kept // by place
	fleet   zoning.Fleet
	units   measure.Units // of all journals
	bands   []zoning.Band
	sums    *write.Collection
	lots    *sheet.Overview // nil where no sheet is wanted
	stops   [][]stop        // by machine, in the order of the file; nil where no plan is wanted
	planned map[int]bool    // places whose ground the stops hold
	made    Made
	tell    func(done int)
	unsplit map[int]*Fault // lots that were mapped and whose own file cannot be written
}

// kept is where the record of a lot is.
type kept struct {
	place   int
	journal int
	at      located
}

func failedLast(x, y located) int {
	switch {
	case x.failed == y.failed:
		return 0
	case x.failed:
		return 1
	}
	return -1
}

// Made is what outputs hold.
type Made struct {
	Units        measure.Units // that they are told in
	Lots, Failed int
	FirstFault   string // why the first failed lot of the file did; "" where none did
	Repairs      Repairs

	Plan []sheet.Round // where a plan or a sheet was asked for, of each machine that has work

	Warnings []string // of what else lies in the folder
}

// assemble writes the outputs into a folder whose files were begun: all of them whole, or
// none.
func assemble(ctx context.Context, dir string, files *write.Files, o Outputs, journals []*journal, tell func(done int)) (Made, error) {
	a := &assembly{ctx: ctx, files: files, journal: journals, fleet: journals[0].head.Fleet, units: journals[0].head.Units, tell: tell}
	a.made.Units = a.units
	a.bands, a.sums = a.fleet.Bands(), a.collection()
	for i, j := range journals {
		for place, at := range j.at {
			a.order = append(a.order, kept{place, i, at})
		}
	}
	// Parts of which one could not read a lot may both have another: one that was mapped counts.
	slices.SortFunc(a.order, func(x, y kept) int {
		return cmp.Or(cmp.Compare(x.place, y.place), failedLast(x.at, y.at), cmp.Compare(x.journal, y.journal))
	})
	a.order = slices.CompactFunc(a.order, func(x, y kept) bool { return x.place == y.place })
	if o.Sheet {
		a.lots = sheet.NewOverview(a.fleet)
	}
	if o.Plan || o.Sheet {
		a.stops, a.planned = make([][]stop, len(a.fleet)), map[int]bool{}
	}
	err := a.write(dir, o)
	if ended := ctx.Err(); ended != nil {
		return a.made, ended
	}
	if err = files.Cause(err); err == nil {
		err = files.Commit()
	}
	switch {
	case errors.Is(err, write.ErrPartly):
		return a.made, fmt.Errorf("%s: the lots are kept, start again to write the others: %w", dir, err)
	case err != nil:
		return a.made, fmt.Errorf("%s: the outputs there were left as they were; the lots are kept, start again to write them: %w", dir, err)
	}
	return a.made, nil
}

func (a *assembly) write(dir string, o Outputs) error {
	if o.Split { // first, for failed.csv tells of lots whose file cannot be written
		if err := a.writeSplit(dir); err != nil {
			return err
		}
	}
	if err := a.tables(o); err != nil {
		return err
	}
	if a.stops != nil {
		if err := a.plan(o); err != nil {
			return err
		}
	}
	if o.Sheet {
		if err := a.writeSheet(o); err != nil {
			return fmt.Errorf("%s: %w", sheetName, err)
		}
	}
	if o.Zones {
		w, err := a.files.Create(zonesName)
		if err != nil {
			return err
		}
		if err := a.sums.WriteGeoJSON(w, a.features()); err != nil {
			return err
		}
	}
	if o.Package {
		if err := a.files.Make(packageName, a.writePackage); err != nil {
			return err
		}
	}
	return nil
}

// records goes through the lots in the order of the file.
func (a *assembly) records() iter.Seq2[frame, error] {
	return func(yield func(frame, error) bool) {
		for _, k := range a.order {
			f, err := frame{}, a.ctx.Err()
			if err == nil {
				f, err = a.journal[k.journal].record(k.at)
			}
			if !yield(f, err) || err != nil {
				return
			}
		}
	}
}

// parts are the features of a record: those of zones, and those of hazards.
func parts(f frame) (zones, hazards []byte, err error) {
	var r record
	if err := f.parseHead(&r); err != nil {
		return nil, nil, err
	}
	zones, hazards, _, err = r.cut(f.body)
	return zones, hazards, err
}

// cut cuts the body of a record into its parts.
func (r *record) cut(body []byte) (zones, hazards, outline []byte, err error) {
	end := r.ZoneBytes + r.HazardBytes
	if min(r.ZoneBytes, r.HazardBytes) < 0 || end > len(body) {
		return nil, nil, nil, errTorn
	}
	return body[:r.ZoneBytes], body[r.ZoneBytes:end], body[end:], nil
}

// features goes through the features of the lots that were mapped: of each its zones,
// then its hazards.
func (a *assembly) features() iter.Seq2[[]byte, error] {
	return func(yield func([]byte, error) bool) {
		for f, err := range a.records() {
			if err == nil && f.kind != kindMapped {
				continue
			}
			var zones, hazards []byte
			if err == nil {
				zones, hazards, err = parts(f)
			}
			if !yield(zones, err) || !yield(hazards, nil) {
				return
			}
		}
	}
}
