package zoning

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Check returns the first reason why a map cannot be written or drawn: none, more machines
// than fit a [Mask], zones of a band or acres by a machine that it does not have, acres by source that are not one for each of them, or a place without coordinates.
// A map without lots, of lots without a Coverage or of zones without Ground can be used.
func (m *ZoneMap) Check() error {
	if m == nil {
		return errors.New("there is no zone map; map at least one parcel first")
	}
	if len(m.Fleet) > MaxMachines {
		return fmt.Errorf("the zone map's fleet has %d machines; at most %d fit", len(m.Fleet), MaxMachines)
	}
	if m.Drawn != nil && len(m.Drawn) != len(m.Fleet) {
		return fmt.Errorf("the zone map was drawn by the limits of %d machines, and its fleet has %d", len(m.Drawn), len(m.Fleet))
	}
	if m.View > AsPlanned {
		return fmt.Errorf("the zone map is of view %d; a map is by limits (%d) or as planned (%d)", m.View, ByLimits, AsPlanned)
	}
	if m.Limits != nil {
		if m.View == ByLimits || m.Limits.View != ByLimits || len(m.Limits.Fleet) != len(m.Fleet) {
			return errors.New("Limits is the map by limits that one as planned was made from, of the same fleet")
		}
		if err := m.Limits.Check(); err != nil {
			return fmt.Errorf("of the map by limits: %w", err)
		}
	}
	bands := len(m.Fleet.Bands())
	if m.Otherwise != nil && len(m.Otherwise) != bands {
		return fmt.Errorf("the zone map has acres of %d bands on the other ground, and its fleet has %d bands", len(m.Otherwise), bands)
	}
	if m.SourceAcres != nil && len(m.SourceAcres) != len(m.Sources) {
		return fmt.Errorf("the zone map has acres from %d sources of elevation, and names %d", len(m.SourceAcres), len(m.Sources))
	}
	for i := range m.Lots {
		if err := m.checkLot(&m.Lots[i], bands); err != nil {
			return fmt.Errorf("lot %s: %w", m.Lots[i].Lot, err)
		}
	}
	for _, p := range m.Access.Pockets {
		if p.Machine < 0 || p.Machine >= len(m.Fleet) {
			return fmt.Errorf("ground is cut off for machine %d, and the fleet has %d", p.Machine+1, len(m.Fleet))
		}
	}
	for _, at := range m.Access.Staging {
		if !isPlace(at) {
			return fmt.Errorf("trailers unload at %v, which is no longitude and latitude", at)
		}
	}
	return nil
}

func (m *ZoneMap) checkLot(lot *LotMap, bands int) error {
	for _, z := range lot.Zones {
		if z.Band < 0 || z.Band >= bands {
			return fmt.Errorf("it has a zone of band %d, and the fleet's bands are 0 to %d", z.Band, bands-1)
		}
		if len(z.LostAcres) > len(m.Fleet) {
			return fmt.Errorf("a zone has the acres that %d machines do not work, and the fleet has %d", len(z.LostAcres), len(m.Fleet))
		}
		if !arePlaces(z.Ground) {
			return errors.New("the ground of a zone has a corner that is no longitude and latitude")
		}
	}
	return nil
}

func arePlaces(ground orb.MultiPolygon) bool {
	for _, poly := range ground {
		for _, ring := range poly {
			for _, p := range ring {
				if !isPlace(p) {
					return false
				}
			}
		}
	}
	return true
}

// mostDegrees is more than any coordinate of ground that goes around the earth.
const mostDegrees = 1080

func isPlace(p orb.Point) bool {
	return math.Abs(p[0]) <= mostDegrees && math.Abs(p[1]) <= mostDegrees
}
