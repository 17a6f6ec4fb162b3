package page

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// estimate is what a plan says to bring, in words.
type estimate struct {
	Says string   `json:"says"`
	Crew []string `json:"crew"` // what each machine does; without a crew, the hours for each class of cover
}

func (t *tally) estimate(p *plan.Plan) *estimate {
	e := &estimate{Crew: []string{}}
	if len(p.Options) == 0 {
		e.Says = "What grows there was not given, so there is no price: the hours below are for each class of growth."
		for _, c := range p.ByCover {
			e.Crew = append(e.Crew, fmt.Sprintf("%s: %s, %s hours, %s", c.Cover, crewWords(c.Crew), text.Grouped(c.ScheduledH, 0), text.WorkingDays(c.WorkingDays)))
		}
		return e
	}
	best := p.Options[0]
	e.Says = fmt.Sprintf("An estimate, not a quote: %s, cost %s to %s, price about %s", text.WorkingDays(best.WorkingDays), usd(best.Cost.P10), usd(best.Cost.P90), usd(best.PriceUSD))
	if best.LeftAcres >= 0.05 {
		e.Says += fmt.Sprintf("; %s are left standing", t.areaText(best.LeftAcres))
	}
	e.Says += "."
	for _, b := range best.Crew {
		e.Crew = append(e.Crew, fmt.Sprintf("%d × %s: %s in %s hours", b.Count, text.OneLine(strings.TrimSpace(b.Name)), t.areaText(b.NetAcres), text.Grouped(b.ScheduledH, 0)))
	}
	return e
}
