package read

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"iter"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Options says what a file leaves open.
type Options struct {
	// CRS is the coordinate reference system of the file, such as EPSG:2227,
	// where the file does not say or says it wrongly: it overrides the file.
	CRS string

	// Field names the lot. Where it is "", a field lot, name or id is used (in
	// that order, in any case) if it is filled, and the lot's place if not.
	Field string

	// Layer is the one layer to read. Where it is "", every layer of a KML file
	// is read, in order; of another file its only layer with polygons, and it is
	// an error if there are several.
	Layer string

	// Where is a condition on fields that lots must meet to be read, such as
	// ZONING = 'R1' and ACRES >= 0.5. Fields are compared with numbers as numbers
	// and with 'text' byte by byte, by =, !=, <, <=, >, >= and in ('A', 'B'), and
	// by is null; conditions are joined by and, or, not and parentheses. Names
	// with blanks stand in double quotes. A blank field meets no comparison.
	Where string

	// Look is asked before a lot's ground is looked at, by its place. An error it
	// returns becomes the lot's. Nil looks at every lot.
	Look func(place int) error

	// Repair is the share of a lot's acres that a repair of its boundary may change, up to
	// [MostRepair]; 0 is [DefaultRepair].
	Repair float64

	// Units are what people are told in.
	Units measure.Units

	// MostLots and MostCorners are how many of them are read of a file, all corners of
	// its polygons and tracks together; 0 is no limit. Reading stops at the first that is
	// one too many, with a [*TooMany].
	MostLots, MostCorners int

	// Tell is told what concerns a file of several lots and no one of them, such as what was
	// left out of it; of a file of one lot that is among its notes. Where Tell is nil, Read
	// puts it among the notes of each, and Lots leaves it out.
	Tell func(note string)

	// CloseM is how far, in metres, a GPX track or route may end from its start
	// and still be a boundary; 0 is 30 m.
	CloseM float64
}

// MostRepair is the largest share of a lot's acres that a repair may be allowed to change.
const MostRepair = 0.5

// mending is how the boundaries of a file are mended.
func (o Options) mending() mending {
	return mending{cmp.Or(o.Repair, DefaultRepair), o.Units}
}

// Lots reads a file's lots one by one, so that a county is never in memory at
// once. An error ends the sequence: the file, or what follows in it, cannot be
// used. A file without a single polygon is such an error, unless it holds
// closed lines, which are then taken for boundaries. A lot that cannot be used
// by itself comes with [Lot.Err] and the next one follows. Once the context is done the
// sequence ends with its error, at the next feature.
func Lots(ctx context.Context, path string, o Options) iter.Seq2[zoning.Lot, error] {
	return func(yield func(zoning.Lot, error) bool) {
		err := readLots(ctx, path, o, func(l zoning.Lot) bool { return yield(l, nil) })
		if err != nil && !errors.Is(err, errStopped) {
			yield(zoning.Lot{}, fmt.Errorf("%s: %w", path, err))
		}
	}
}

// Read returns all lots of a file, or the first error of [Lots].
func Read(ctx context.Context, path string, o Options) ([]zoning.Lot, error) {
	var lots []zoning.Lot
	var notes []string
	if o.Tell == nil {
		o.Tell = func(note string) { notes = append(notes, note) }
	}
	for lot, err := range Lots(ctx, path, o) {
		if err != nil {
			return nil, err
		}
		lots = append(lots, lot)
	}
	for i := range lots {
		lots[i].Notes = append(lots[i].Notes, notes...)
	}
	return lots, nil
}
