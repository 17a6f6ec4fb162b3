package zoning

// Areas of a cell, in square meters, from which a figure of acres is no longer told to a tenth
// and to a hundredth: a cell of 20 m is about a tenth of an acre, one of 6.3 m about a hundredth.
const (
	tenthM2     = 400
	hundredthM2 = 40
)

// AcreDecimals is how many decimals the map's acres are told with: one, or two on a map of several
// lots, and no more than the coarsest cells under its lots carry.
func (m *ZoneMap) AcreDecimals() int {
	decimals := 1
	if len(m.Lots) > 1 {
		decimals = 2
	}
	for i, s := range m.Sources {
		if m.SourceAcres != nil && !(m.SourceAcres[i] > 0) {
			continue
		}
		// Rounding a cell to meters and back must not part 20 m from 20 m.
		switch cell := s.CellM[0] * s.CellM[1] * (1 + 1e-2); {
		case cell >= tenthM2:
			return 0
		case cell >= hundredthM2:
			decimals = min(decimals, 1)
		}
	}
	return decimals
}
