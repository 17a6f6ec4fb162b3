package sheet_test

import (
	"fmt"
	"os"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet"
)

// The acres of a lot, as the table has them. A map comes from package mapping.
func ExampleZones() {
	zm := &zoning.ZoneMap{
		Fleet: []zoning.Machine{
			{Key: "loader", Name: "Loader", LimitPct: 30},
			{Key: "crawler", Name: "Crawler", LimitPct: 70},
		},
		Lots: []zoning.LotMap{{Lot: "Tarn Hollow", Acres: 9.5, Zones: []zoning.Zone{
			{Band: 0, Acres: 6.3, SurfaceAcres: 6.4, SlopeMeanPct: 12, SlopeMaxPct: 29.5, SureAcres: 6},
			{Band: 1, Acres: 3.2, SurfaceAcres: 3.5, SlopeMeanPct: 44, SlopeMaxPct: 68, SureAcres: 3.1},
		}}},
	}
	if err := sheet.Zones(os.Stdout, zm); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Tarn Hollow, 9.5 acres
	//
	// zone        machine                         up to  acres  share  mean slope  greatest slope  sure  walk first
	// loader      Loader                            30%    6.3    66%       12.0%           29.5%   6.0         0.3
	// crawler     Crawler                           70%    3.2    34%       44.0%           68.0%   3.1         0.1
	// no-machine  No machine: hand work or leave           0.0     0%           -               -
	// no_data     No elevation data                        0.0     0%           -               -
	// parcel                                               9.5   100%
}
