package read_test

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// A limit is changed on a copy of the machine, and the ground that was read once is
// mapped again. Limits that go with it follow: wet ground allows no more than dry.
func ExamplePrepare() {
	ground, err := read.Prepare(context.Background(), read.Request{
		Elevation: []string{"../../examples/site/elevation.tif"}, Parcel: "../../examples/site/boundary.geojson",
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	machines := fleet.Default()
	if machines[0], err = machines[0].With(zoning.AlongLimit, 5); err != nil {
		fmt.Println(err)
		return
	}
	for _, state := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
		zones, err := mapping.Map(context.Background(), ground, machines, mapping.Options{Ground: state})
		if err != nil {
			fmt.Println(err)
			return
		}
		loader := zones.Fleet[0]
		fmt.Printf("%s: held to %g%%, %.2f acres\n", state, loader.LimitPct, zones.Lots[0].Zones[0].Acres)
	}
	_, err = machines[0].With(zoning.WetLimit, 20)
	fmt.Println(err)
	// Output:
	// dry: held to 5%, 2.09 acres
	// wet: held to 5%, 2.09 acres
	// machine "track-loader": wet_limit 20% is above its limit 5%: wet ground allows no more than dry, and a boom at work no more than driving
}
