package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
)

// onTheRoad are the remarks on loads over the limits of the road.
func onTheRoad(t *testing.T, p *Page) (all []string) {
	q, tot, err := p.ready(true)
	require.NoError(t, err)
	for _, r := range q.planRemarks(tot) {
		if strings.HasPrefix(r, "On the road") {
			all = append(all, r)
		}
	}
	return all
}

// Only machines that come have widths to tell: the sheet once told those of every machine of
// the fleet, which stayed home. A crew that the office may choose instead is told of as such, and
// not to the crew.
func TestRoadIsToldOfMachinesThatCome(t *testing.T) {
	loader, crawler, boom := plan.Brought{Key: "track-loader", Name: "Track loader", Count: 1}, plan.Brought{Key: "remote-crawler", Count: 1}, plan.Brought{Key: "boom-head", Count: 1}
	p := jobPage(t)
	assert.Equal(t, []string{"On the road: Track loader travels 9 ft wide: over 8.5 ft."}, onTheRoad(t, p), "the boom head is of no option")
	p.Plan.Ladder = []plan.Rung{{Option: plan.Option{Crew: []plan.Brought{crawler}}}, {Option: plan.Option{Crew: []plan.Brought{loader}}}}
	assert.Equal(t, []string{"On the road, if it is brought: Track loader travels 9 ft wide: over 8.5 ft."}, onTheRoad(t, p))
	p.Crew = true
	assert.Empty(t, onTheRoad(t, p))
	p.Plan.Recommended = 1
	assert.Equal(t, []string{"On the road: Track loader travels 9 ft wide: over 8.5 ft."}, onTheRoad(t, p))
	p.Plan.Ladder, p.Plan.Recommended, p.Plan.Options = nil, -1, nil
	p.Plan.ByCover = []plan.ByCover{{Crew: []plan.Brought{boom}}}
	assert.Equal(t, []string{"On the road: Boom-mounted head travels 12 ft wide: over 8.5 ft."}, onTheRoad(t, p))
}
