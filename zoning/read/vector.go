// Package vector reads parcel boundaries and site features from the files people
// have: GeoJSON, KML and KMZ, GPX, Shapefile (a zipped one too) and GeoPackage.
// [Read] and [Lots] make a lot of each feature that holds a polygon, in WGS84
// longitude and latitude, checked and, where little is at stake, repaired.
// [ReadSite], [ReadStaging] and [ReadTravel] make site features of points, lines
// and polygons, whose polygons are treated in the same way.
//
// # What comes out
//
// A lot's ground is valid by the OGC Simple Features rules (06-103r4, section
// 6.1.11), wound by RFC 7946 (shells counter-clockwise) and cut in two where it
// crosses the antimeridian. Its edges are straight in longitude and latitude.
// Where the file's own CRS bends an edge by more than 5 mm on the ground,
// points are added to it; the two lots on either side of an edge get the same
// points. Corners of a file that is in WGS84 already (or in a datum that PROJ
// takes for it, as NAD83) are the file's own figures; others are rounded to 9
// decimals, a tenth of a millimetre.
//
// # Repairs
//
// Ground belongs to a lot where a shell goes round it, however often, and no
// hole of that shell does. Of a boundary that crosses itself both lobes stay,
// whichever way they are wound. What the repair changed is the ground that this
// rule and the even-odd rule (inside after an odd number of edges) see
// differently: a pocket the boundary goes round twice, a hole or the part of
// one that lies outside its shell, a hole in a hole; and lobes that the shell goes
// round the other way than round most of the lot, for a boundary whose corners are
// out of order encloses too little: one half of a bow-tie, where the lot was twice as
// large. A lot is refused where that is more than [Options.Repair] of its acres. Parts of a lot that share an edge or
// overlap become one, and overlapping ground counts once. A boundary whose edges meet
// more than 2000 times is refused with the first places, before any repair.
//
// # Walked boundaries
//
// Each track and each route of a GPX file is a lot. It is closed by a straight
// edge where it ends within [Options.CloseM] of its start and a fifth of the way
// walked; else it is refused. Stretches of a track (trkseg) that each come back
// to their own start are parts of the lot; others are joined end to start over
// gaps of at most [Options.CloseM]. Heights and times are not read, waypoints
// left out. A walk is repaired like any boundary, but refused where it crosses
// itself so that more than that share of its acres lie beside the largest piece.
//
// # How well the line is known
//
// [EdgeGround] gives the ground so near to the line that it may be the
// neighbour's; [Quality] says how near that is.
//
// # Files from strangers
//
// A file is opened by the driver of the format its first bytes show, by no
// other, and without a network: an old GeoJSON "crs" link is not followed.
package read

import (
	"errors"
	"fmt"
	"iter"

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

// repair is the share of a lot's acres that a repair may change.
func (o Options) repair() float64 {
	if o.Repair == 0 {
		return DefaultRepair
	}
	return o.Repair
}

// Lots reads a file's lots one by one, so that a county is never in memory at
// once. An error ends the sequence: the file, or what follows in it, cannot be
// used. A file without a single polygon is such an error, unless it holds
// closed lines, which are then taken for boundaries. A lot that cannot be used
// by itself comes with [Lot.Err] and the next one follows.
func Lots(path string, o Options) iter.Seq2[zoning.Lot, error] {
	return func(yield func(zoning.Lot, error) bool) {
		err := readLots(path, o, func(l zoning.Lot) bool { return yield(l, nil) })
		if err != nil && !errors.Is(err, errStopped) {
			yield(zoning.Lot{}, fmt.Errorf("%s: %w", path, err))
		}
	}
}

// Read returns all lots of a file, or the first error of [Lots].
func Read(path string, o Options) ([]zoning.Lot, error) {
	var lots []zoning.Lot
	var notes []string
	if o.Tell == nil {
		o.Tell = func(note string) { notes = append(notes, note) }
	}
	for lot, err := range Lots(path, o) {
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
