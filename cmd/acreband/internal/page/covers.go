package page

import (
	"context"
	"errors"
	"net/http"

	"github.com/acreband/acreband/zoning/plan"
)

// coverOf is what a parcel would be cleared for if a class of cover grew where nobody says.
type coverOf struct {
	Cover string `json:"cover"`
	Now   bool   `json:"now"`  // whether it is that of the map
	Crew  string `json:"crew"` // that the plan would choose, or that none can come
	rungFigures
}

// rungFigures are what a rung clears and leaves and its price, in words and in figures.
type rungFigures struct {
	Area   string     `json:"area"` // with its unit
	Left   string     `json:"left"` // and why
	Price  string     `json:"price"`
	Range  string     `json:"range"`
	Spread [3]float64 `json:"spread"` // of the price: 10, 50 and 90 of 100 cases are below
}

// covers answers with the prices of each class of cover.
func (s *Server) covers(w http.ResponseWriter, r *http.Request) {
	ofKept(s, w, r, func(ctx context.Context, g *ground) ([]coverOf, error) { return s.coversOf(ctx, g.latest()) })
}

func (s *Server) coversOf(ctx context.Context, r *Result) ([]coverOf, error) {
	if r.book == nil {
		return nil, refuse(http.StatusBadRequest, "no costs are known here, so there are no prices")
	}
	out := []coverOf{}
	t := tallyOf(r.Map)
	for _, class := range plan.Classes() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c := coverOf{Cover: class.String(), Now: class == r.cover, Crew: "no machine"}
		p, err := s.plan(r.Ground, r.Map.ByLimits(), r.book, class)
		var none *plan.Error
		if err != nil && !errors.As(err, &none) {
			return nil, asRefusal(err)
		}
		if best := chosenRung(p); best != nil {
			c.Crew = crewWords(best.Crew)
			c.rungFigures = rungFigures{Area: t.text(best.Acres) + " " + t.units.ShortArea(), Left: best.LeftText(p), Price: usd(best.PriceUSD), Range: usd(best.Price.P10) + " to " + usd(best.Price.P90),
				Spread: [3]float64{best.Price.P10, best.Price.P50, best.Price.P90}}
		}
		out = append(out, c)
	}
	return out, nil
}
