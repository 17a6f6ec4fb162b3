package fleet_test

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/zoning/fleet"
)

func Example() {
	machines, err := fleet.Parse("fleet.yaml", []byte(`
machines:
  - key: track-loader
    name: Track loader
    limit: 30%
    basis: "planning default; the machine's manual governs"
  - key: boom-head
    name: Boom-mounted head
    limit: 21.8deg
    procedure_above: 35%
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range machines {
		fmt.Printf("%s: up to %.1f%% (%s)\n", m.Name, m.LimitPct, m.Basis)
	}
	// Output:
	// Track loader: up to 30.0% (planning default; the machine's manual governs)
	// Boom-mounted head: up to 40.0% (none given in the fleet file)
}

func ExampleDefault() {
	for _, m := range fleet.Default() {
		fmt.Printf("%s %g%%\n", m.Key, m.LimitPct)
	}
	// Output:
	// track-loader 30%
	// dedicated-carrier 30%
	// boom-head 35%
	// remote-crawler 100%
}

func ExampleError() {
	_, err := fleet.Parse("fleet.yaml", []byte(`machines:
  - key: track-loader
    name: Track loader
    limit: 30
`))
	var refused *fleet.Error
	if errors.As(err, &refused) {
		fmt.Println("line", refused.Line)
		fmt.Println(refused.Problem)
		fmt.Println(refused.Cure)
	}
	// Output:
	// line 4
	// limit "30" has no unit
	// write 30% for percent or 30deg for degrees
}

func ExampleParseSlope() {
	pct, _ := fleet.ParseSlope("19.3deg")
	fmt.Printf("%.1f%%\n", pct)
	_, err := fleet.ParseSlope("19.3")
	fmt.Println(err)
	// Output:
	// 35.0%
	// "19.3" has no unit; write 19.3% for percent or 19.3deg for degrees
}
