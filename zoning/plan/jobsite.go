package plan

import (
	"cmp"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// SiteOf is the ground of a map in pieces of work: of one lot, one zone, one set of
// machines that may work it and one cover. Their gross acres sum to those of the map.
// cover is that of ground of which no cover polygon tells the class.
//
// All ground counts as to be cleared that is not no-go, as setbacks are and the ground
// around leave trees, nor a sliver. Acres to verify are those of the zone's own machine. Machines
// unload at the staging nearest to the middle of the ground, or without any there.
// Errors are [*Error], where the map is not one of this ground.
func SiteOf(g *mapping.Ground, m *zoning.ZoneMap, cover Cover) (*Site, error) {
	if err := fit(g, m, cover); err != nil {
		return nil, err
	}
	c := &pieceCounter{Ground: g, m: m, cover: cover, plane: mapping.PlaneOf(m.Cells), sure: mapping.SurePct(m.Error.Slope, m.Fleet)}
	for i := range c.sure {
		c.sure[i] /= 100
	}
	var pieces []piece
	for _, lot := range m.Lots {
		pieces = append(pieces, c.lot(lot)...)
	}
	s := &Site{Units: m.Units, WholeAcres: m.AcreDecimals() == 0, Signs: signsOf(g, m), Unloads: unloadsOf(m)}
	if len(pieces) > mostPieces {
		pieces = joinLots(pieces)
		s.Notes = append(s.Notes, "The lots are figured as one: they are too many to tell apart in a plan.")
	}
	for _, p := range pieces {
		s.Pieces, s.keys = append(s.Pieces, p.Piece), append(s.keys, p.key)
	}
	s.GapM = func(a, b int) float64 { return pieces[a].box.GapM(pieces[b].box) }
	c.land(s)
	s.Notes = append(append(s.Notes, c.notes()...), shortNotes(g, m)...)
	return s, nil
}

// mostPieces is how many pieces a plan is worked out for in a second.
const mostPieces = 500

// pieceKey is what the ground of a piece has in common.
type pieceKey struct {
	band  int
	may   zoning.Mask
	dry   zoning.Mask // machines that may work it once it is dry, and now may not
	cover Cover
	// typicalM and thickestM are its stems in metres; 0 not known.
	typicalM, thickestM float32
}

func (k pieceKey) compare(o pieceKey) int {
	return cmp.Or(cmp.Compare(k.band, o.band), cmp.Compare(k.may, o.may), cmp.Compare(k.dry, o.dry), cmp.Compare(k.cover, o.cover),
		cmp.Compare(k.typicalM, o.typicalM), cmp.Compare(k.thickestM, o.thickestM))
}

// piece is a piece with its place.
type piece struct {
	Piece
	key pieceKey
	box mapping.PlaneBox
}

// pieceSum gathers a piece. Cells weigh by their share inside the lot.
type pieceSum struct {
	cells, sure, slope, col, row float64
	c0, r0, c1, r1               int
}

// pieceCounter parts the ground of a map into pieces.
type pieceCounter struct {
	*mapping.Ground
	m     *zoning.ZoneMap
	cover Cover
	plane mapping.Plane
	sure  []float64 // by machine: the rise below which ground is surely within its limit

	sums map[pieceKey]*pieceSum
	last pieceKey // cells side by side are mostly of one piece
	at   *pieceSum
}

// lot parts one lot, by the cells that its zones are of. Acres are shared out so that
// they sum to the zone's.
func (c *pieceCounter) lot(lot zoning.LotMap) []piece {
	c.sums, c.at = map[pieceKey]*pieceSum{}, nil
	fleet := c.m.Fleet
	lot.Coverage.EachCell(func(col, row int, share float64) {
		mask := zoning.Unknown
		if c.inside(col, row) {
			mask = c.m.Cells.Masks[row*c.m.Cells.Cols+col]
		}
		c.add(col, row, fleet.Band(mask), mask, share)
	})
	lot.Coverage.EachMoved(func(col, row int, share float64, from, to zoning.Mask) {
		mask := c.m.Cells.Masks[row*c.m.Cells.Cols+col]
		c.add(col, row, fleet.Band(from), mask, -share)
		c.add(col, row, fleet.Band(to), mask, share)
	})
	keys := make([]pieceKey, 0, len(c.sums))
	for key, s := range c.sums {
		if s.cells > leastCells {
			keys = append(keys, key)
		}
	}
	slices.SortFunc(keys, pieceKey.compare)
	cells := make([]float64, len(fleet.Bands()))
	for _, key := range keys {
		cells[key.band] += c.sums[key].cells
	}
	var out []piece
	for _, z := range lot.Zones {
		for _, key := range keys {
			if key.band == z.Band {
				s := c.sums[key]
				out = append(out, c.piece(lot.Lot, key, s, z.Acres*s.cells/cells[key.band]))
			}
		}
	}
	return out
}

// leastCells is less of a cell than any ground has: what moving ground to and fro
// leaves is no piece.
const leastCells = 1e-9

func (c *pieceCounter) inside(col, row int) bool {
	return col >= 0 && row >= 0 && col < c.m.Cells.Cols && row < c.m.Cells.Rows
}

// add counts a share of a cell whose band and mask are given: where lines were
// simplified the band may be a later one than the mask's first.
func (c *pieceCounter) add(col, row, band int, mask zoning.Mask, share float64) {
	i := row*c.m.Cells.Cols + col
	key := c.key(i, band, mask)
	rise, sure := math.NaN(), false
	if band != c.m.Fleet.UnknownBand() && band != c.m.Fleet.NoGoBand() {
		rise = math.Sqrt(float64(c.m.Field.Squared[i]))
		sure = band == c.m.Fleet.NoMachineBand() || c.m.Cells.IsSure(i, band, rise, c.sure[band])
	}
	if c.at == nil || key != c.last {
		c.last, c.at = key, c.sums[key]
		if c.at == nil {
			c.at = &pieceSum{c0: col, r0: row, c1: col, r1: row}
			c.sums[key] = c.at
		}
	}
	s := c.at
	s.cells += share
	s.slope += share * rise
	if sure {
		s.sure += share
	}
	s.col, s.row = s.col+share*(float64(col)+0.5), s.row+share*(float64(row)+0.5)
	s.c0, s.r0, s.c1, s.r1 = min(s.c0, col), min(s.r0, row), max(s.c1, col), max(s.r1, row)
}

// growth is the class of cover of a cell, its typical and its thickest stem in metres, 0
// where that is not known.
func (c *pieceCounter) growth(i int) (cover Cover, typicalM, thickestM float32) {
	cover = c.cover
	if c.Site.Class != nil && c.Site.Class[i] != 0 {
		cover = coverOf(c.Site.Class[i])
	} else if c.CoverByGrowth {
		if class := c.ProposedCover(i); class != site.NoClass {
			cover = coverOf(class)
		}
	}
	if c.Site.TypicalM != nil && c.Site.TypicalM[i] > 0 { // not where it is NaN
		typicalM = c.Site.TypicalM[i]
	}
	if c.Site.StemM != nil && c.Site.StemM[i] > 0 {
		thickestM = c.Site.StemM[i]
	}
	return cover, typicalM, thickestM
}

func (c *pieceCounter) piece(lot string, key pieceKey, s *pieceSum, acres float64) piece {
	p := piece{key: key, box: c.plane.Box(s.c0, s.r0, s.c1+1, s.r1+1)}
	p.Piece = Piece{
		Lot: lot, Zone: c.m.Fleet.Bands()[key.band].Key, May: key.may, MayDry: key.dry, Cover: key.cover,
		GrossAcres: acres, NetAcres: acres, SlopeMeanPct: 100 * s.slope / s.cells,
		StemIn: inchesOf(key.typicalM), ThickestIn: inchesOf(key.thickestM),
	}
	p.EastM, p.NorthM = c.plane.At(s.col/s.cells, s.row/s.cells)
	if acres < LeastWorkAcres {
		p.NetAcres = 0
	} else if c.m.Fleet.IsMachine(key.band) {
		p.VerifyAcres = acres * max(s.cells-s.sure, 0) / s.cells
	}
	return p
}

func inchesOf(m float32) float64 { return float64(m) / zoning.MetresPerFoot * 12 }

// LeastWorkAcres is less ground than any machine stands on, 44 ft²: slivers that cutting
// cells at the boundary leaves. No machine is sent to one.
const LeastWorkAcres = 0.001

// joinLots makes one piece of those of all lots that have all but the lot in common.
func joinLots(pieces []piece) []piece {
	slices.SortStableFunc(pieces, func(a, b piece) int { return a.key.compare(b.key) })
	var out []piece
	for _, p := range pieces {
		p.Lot = ""
		if len(out) == 0 || out[len(out)-1].key != p.key {
			out = append(out, p)
			continue
		}
		q := &out[len(out)-1]
		all := q.GrossAcres + p.GrossAcres
		mean := func(a, b float64) float64 { return (a*q.GrossAcres + b*p.GrossAcres) / all }
		q.SlopeMeanPct = mean(q.SlopeMeanPct, p.SlopeMeanPct)
		q.EastM, q.NorthM = mean(q.EastM, p.EastM), mean(q.NorthM, p.NorthM)
		q.NetAcres, q.VerifyAcres, q.GrossAcres = q.NetAcres+p.NetAcres, q.VerifyAcres+p.VerifyAcres, all
		q.box = q.box.With(p.box)
	}
	return out
}
