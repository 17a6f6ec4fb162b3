package lots

import (
	"encoding/binary"
	"errors"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// Fault is why a lot has no map, and what to do about it.
type Fault struct{ Reason, Hint string }

func (f *Fault) Error() string {
	if f.Hint == "" {
		return f.Reason
	}
	return f.Reason + "; " + f.Hint
}

// faultOf parts an error into what is wrong and its cure, which messages put after
// their last semicolon.
func faultOf(err error) *Fault {
	var f *Fault
	if errors.As(err, &f) {
		return f
	}
	text := strings.Join(strings.Fields(err.Error()), " ")
	if at := strings.LastIndex(text, "; "); at >= 0 {
		return &Fault{text[:at], text[at+2:]}
	}
	return &Fault{Reason: text}
}

// lotHead is a lot but for its ground.
type lotHead struct {
	Lot        string   `json:"lot"`
	Unnamed    bool     `json:"unnamed,omitempty"`
	SameName   int      `json:"same_name,omitempty"`
	SameGround int      `json:"same_ground,omitempty"`
	Notes      []string `json:"notes,omitempty"`
	Fault      *Fault   `json:"fault,omitempty"`
	Unread     bool     `json:"unread,omitempty"` // the fault is of the reading, not of the lot

	Repair zoning.Repair `json:"repair,omitzero"`
}

// frameOf makes a frame of a lot.
func frameOf(lot zoning.Lot) (frame, error) {
	h := lotHead{Lot: lot.Lot, Unnamed: lot.Unnamed, SameName: lot.SameName, SameGround: lot.SameGround, Notes: lot.Notes, Repair: lot.Repair}
	if lot.Err != nil {
		h.Fault = faultOf(lot.Err)
		h.Unread = errors.As(lot.Err, new(*Fault)) // one of [Job.LookedAtBefore]
		if h.Fault.Hint == "" {
			h.Fault.Hint = "correct its boundary in the file"
		}
	}
	return headed(kindLot, lot.Place, h, appendGround(nil, lot.Ground))
}

// lotOf reads a lot from its frame.
func lotOf(f frame) (zoning.Lot, error) {
	var h lotHead
	if err := f.parseHead(&h); err != nil {
		return zoning.Lot{}, err
	}
	ground, err := groundOf(f.body)
	lot := zoning.Lot{
		Parcel: zoning.Parcel{Lot: h.Lot, Ground: ground}, Place: f.place,
		Unnamed: h.Unnamed, SameName: h.SameName, SameGround: h.SameGround, Notes: h.Notes, Repair: h.Repair,
	}
	if h.Fault != nil {
		lot.Err = h.Fault
	}
	return lot, err
}

// appendGround writes polygons as counts and little-endian coordinates, exactly.
func appendGround(b []byte, ground orb.MultiPolygon) []byte {
	b = binary.AppendUvarint(b, uint64(len(ground)))
	for _, poly := range ground {
		b = binary.AppendUvarint(b, uint64(len(poly)))
		for _, ring := range poly {
			b = binary.AppendUvarint(b, uint64(len(ring)))
			for _, p := range ring {
				b = binary.LittleEndian.AppendUint64(b, math.Float64bits(p[0]))
				b = binary.LittleEndian.AppendUint64(b, math.Float64bits(p[1]))
			}
		}
	}
	return b
}

// groundOf reads what appendGround wrote.
func groundOf(b []byte) (orb.MultiPolygon, error) {
	bad := false
	count := func(size int) int { // of things that take at least size bytes each
		n, used := binary.Uvarint(b)
		if used <= 0 || n > uint64(len(b)-used)/uint64(size) {
			bad, b = true, nil
			return 0
		}
		b = b[used:]
		return int(n)
	}
	const pointBytes = 16
	var ground orb.MultiPolygon
	for range count(1) {
		var poly orb.Polygon
		for range count(1) {
			ring := make(orb.Ring, count(pointBytes))
			for i := range ring {
				ring[i][0] = math.Float64frombits(binary.LittleEndian.Uint64(b))
				ring[i][1] = math.Float64frombits(binary.LittleEndian.Uint64(b[8:]))
				b = b[pointBytes:]
			}
			poly = append(poly, ring)
		}
		ground = append(ground, poly)
	}
	if bad || len(b) > 0 {
		return nil, errTorn
	}
	return ground, nil
}
