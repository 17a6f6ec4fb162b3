package fleet

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// A changed machine was told as two lines of its fields, in which nobody found what differed.
func TestChangesAreToldByKeys(t *testing.T) {
	was := Default()[0]
	is := was
	require.Empty(t, Changes(was, is))
	is.LimitPct, is.Wet.CrossPct, is.ReachM, is.PressureKPa, is.PatchAcres = 28, 7.5, 6.096, 35, 0.5
	is.Work, is.TetherBasis, is.Name = zoning.Selective, "its manual, page 3", "Loader"
	was.ReachM, was.PressureKPa, was.PatchAcres, was.Work, was.Wet.CrossPct = 0, 30, 0.25, zoning.AnyWork, 10
	require.Equal(t, []string{
		`name was "Track loader", is "Loader"`,
		"limit was 30%, is 28%",
		"wet_cross was 10%, is 7.5%",
		"reach was not given, is 6.096 m",
		`tether_basis was not given, is "its manual, page 3"`,
		"pressure was 30 kPa, is 35 kPa",
		"patch was 0.25 acres, is 0.5 acres",
		`work was not given, is "selective"`,
	}, Changes(was, is))
}
