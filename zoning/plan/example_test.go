package plan_test

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// A site may be written by hand: twelve acres of brush, of which two are too steep for the
// first machine. They lie side by side, so the machines take turns.
func ExampleMake() {
	machines, book, err := plan.Parse("fleet.yaml", []byte(`machines:
  - {key: loader, name: Loader, limit: 30%}
  - {key: crawler, name: Crawler, limit: 80%}
plan:
  loader: {rate_light: 0.5ac/h, machine: $60/h, operator: $40/h, fuel: $20/h, teeth: $10/h,
    haul_rate: $4/mi, handling: 0.75h, walk_speed: 3mph, basis: last year's books}
  crawler: {rate_light: 0.25ac/h, machine: $50/h, operator: $40/h, fuel: $10/h, teeth: $10/h,
    haul_rate: $3/mi, handling: 0.5h, walk_speed: 2mph, basis: last year's books}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	const loader, crawler = zoning.Mask(1 << 0), zoning.Mask(1 << 1)
	p, err := plan.Make(&plan.Site{Pieces: []plan.Piece{
		{Zone: "loader", May: loader | crawler, GrossAcres: 10, NetAcres: 10, SlopeMeanPct: 12, Cover: plan.Light},
		{Zone: "crawler", May: crawler, GrossAcres: 2, NetAcres: 2, SlopeMeanPct: 45, Cover: plan.Light},
	}}, machines, book)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range p.Ladder {
		fmt.Printf("%.0f acres in %g days for $%.0f", r.Acres, r.WorkingDays, r.PriceUSD)
		if !math.IsNaN(r.ExtraPerAcreUSD) {
			fmt.Printf(", $%.0f for each acre more", r.ExtraPerAcreUSD)
		}
		fmt.Println()
		for _, b := range r.Crew {
			fmt.Printf("  %s: %.0f acres in %.1f productive hours\n", b.Name, b.NetAcres, b.ProductiveH)
		}
	}
	fmt.Println(p.Why)
	// Output:
	// 10 acres in 3.5 days for $6213
	//   Loader: 10 acres in 20.0 productive hours
	// 12 acres in 4.5 days for $8619, $1203 for each acre more
	//   Loader: 10 acres in 20.0 productive hours
	//   Crawler: 2 acres in 8.0 productive hours
	// The least price per acre.
}

// flat is a cost model of one's own: a subcontractor who moves any machine for a flat sum. The
// rest is as built in.
type flat struct{ plan.ByRate }

func (flat) MoveUSD(*plan.Draw) float64 { return 500 }

// A book may count by another cost model.
func ExampleCostModel() {
	machines, book, err := plan.Parse("fleet.yaml", []byte(`machines:
  - {key: track-loader, name: Track loader, limit: 30%}
job: {support_truck: $0/h}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	book.Cost = flat{}
	p, err := plan.Make(&plan.Site{Pieces: []plan.Piece{
		{Zone: "track-loader", May: 1, GrossAcres: 10, NetAcres: 10, SlopeMeanPct: 12, Cover: plan.Light},
	}}, machines, book)
	if err != nil {
		fmt.Println(err)
		return
	}
	o := p.Options[0]
	fmt.Printf("moves $%.0f of $%.0f\n", o.Crew[0].MovesUSD, o.CostUSD)
	// Output:
	// moves $500 of $4514
}
