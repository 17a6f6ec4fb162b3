package zoning

// View is what a map shows of its ground.
type View uint8

const (
	// ByLimits shows which machine of the fleet, the first in its order, may work each
	// spot.
	ByLimits View = iota
	// AsPlanned shows which machine of the crew that comes works each spot, and why the
	// rest is not cleared.
	AsPlanned
)

// String is the view's key in files and flags: "limits" or "plan".
func (v View) String() string {
	if v == AsPlanned {
		return "plan"
	}
	return "limits"
}

// Words name the view in titles: "by limits" or "as planned".
func (v View) Words() string {
	if v == AsPlanned {
		return "as planned"
	}
	return "by limits"
}

// Has reports whether ground of a band, by its index in [Fleet.Bands], can be in the view
// of a map of the fleet.
func (v View) Has(fleet Fleet, band int) bool {
	return v == AsPlanned || band != fleet.NeedsMachineBand() && band != fleet.WaitsDryBand()
}

// ByLimits returns the map by limits of the same ground: the map itself, or the one that it
// was planned on.
func (m *ZoneMap) ByLimits() *ZoneMap {
	if m.Limits != nil {
		return m.Limits
	}
	return m
}
