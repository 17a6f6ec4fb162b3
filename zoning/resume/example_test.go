package resume_test

import (
	"fmt"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/resume"
)

// A limit that was changed since what was done was done.
func ExampleInputs_Changes() {
	machine := zoning.Machine{Key: "loader", Name: "Track loader", LimitPct: 30}
	was, err := resume.OfFleet(zoning.Fleet{machine})
	if err != nil {
		panic(err)
	}
	machine.LimitPct = 35
	is, err := resume.OfFleet(zoning.Fleet{machine})
	if err != nil {
		panic(err)
	}
	fmt.Println(resume.Listed(is.Changes(was, true)))
	// Output: machine 1 of the fleet (loader): limit was 30%, is 35%
}
