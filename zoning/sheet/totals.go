package sheet

import (
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// totals are a map's acres by band, over all its lots.
type totals struct {
	name     string // the lot, or how many there are
	lots     int
	decimals int // of an area
	units    measure.Units
	acres    float64
	bands    []bandTotal // every band of the fleet, in band order
}

// bandTotal is one band over all lots. Slopes are in percent, NaN where no
// ground of it has a known slope; the mean weighs by acres.
type bandTotal struct {
	zoning.Band
	acres, procedureAcres, tetherAcres float64
	sureAcres                          float64 // NaN where none of it is known
	sightAcres                         float64 // of the rest what nobody walks onto
	meanPct, maxPct                    float64
}

func totalsOf(zm *zoning.ZoneMap) totals {
	t := totals{name: Name(zm), lots: len(zm.Lots), decimals: zm.AcreDecimals(), units: zm.Units}
	bands := zm.Fleet.Bands()
	known := make([]float64, len(bands)) // acres of known slope
	for _, b := range bands {
		t.bands = append(t.bands, bandTotal{Band: b, sureAcres: math.NaN(), maxPct: math.NaN()})
	}
	for _, lot := range zm.Lots {
		t.acres += lot.Acres
		for _, z := range lot.Zones {
			b := &t.bands[z.Band]
			b.acres += z.Acres
			if z.SlopeMeanPct == z.SlopeMeanPct {
				b.meanPct += z.Acres * z.SlopeMeanPct
				known[z.Band] += z.Acres
			}
			if !(z.SlopeMaxPct <= b.maxPct) && z.SlopeMaxPct == z.SlopeMaxPct {
				b.maxPct = z.SlopeMaxPct
			}
			if z.SureAcres == z.SureAcres {
				b.sureAcres = orZero(b.sureAcres) + z.SureAcres
				b.sightAcres += orZero(z.SightAcres)
			}
			b.procedureAcres += orZero(z.ProcedureAcres)
			b.tetherAcres += orZero(z.TetherAcres)
		}
	}
	for i := range t.bands {
		t.bands[i].meanPct /= known[i]
	}
	return t
}

// walkAcres are to be walked before a machine goes there: neither sure nor too steep to walk; NaN where
// that is not known.
func (b bandTotal) walkAcres() float64 {
	walk := b.acres - b.sureAcres - b.sightAcres
	if math.Abs(walk) < roundingAcres { // acres of many cells, added in another order
		return 0
	}
	return walk
}

// roundingAcres is what sums of the same acres may differ by.
const roundingAcres = 1e-6

func orZero(v float64) float64 {
	if v != v {
		return 0
	}
	return v
}
