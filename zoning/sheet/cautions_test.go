package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// The caution of overhead lines stood last of all, under how a reading is written down.
func TestCautionsStandInOrderOfHarm(t *testing.T) {
	const (
		planning, holes, bare, straight, apart, lines = 0, 1, 2, 3, 4, 5
		reading                                       = "Measure straight up and down the slope, and write the reading with its unit, 32% or 18deg."
	)
	c := zoning.Cautions(measure.US)
	given := append([]string{reading}, c...)
	bareJob := &Page{Map: &zoning.ZoneMap{}}
	assert.Equal(t, []string{c[lines], c[straight], c[apart], c[holes], reading, c[planning], c[bare]}, bareJob.inOrderOfHarm(given),
		"all of them, though nothing is drawn")
	houses := &Page{Map: &zoning.ZoneMap{Hazards: []zoning.Hazard{{Kind: zoning.PeopleNear}}}}
	assert.Equal(t, c[apart], houses.inOrderOfHarm(given)[0], "what the job holds comes first")
	both := &Page{Map: houses.Map, Features: []site.Feature{{Kind: site.OverheadLine}}}
	assert.Equal(t, []string{c[lines], c[apart]}, both.inOrderOfHarm(given)[:2], "what kills sooner comes before")
	const ask = "There is water: ask for the setback of the state's forest practice rules and the local code before work near it."
	wet := &Page{Map: &zoning.ZoneMap{Hazards: []zoning.Hazard{{Kind: zoning.Drainage}}}}
	assert.Equal(t, []string{c[holes], ask, c[planning]}, wet.inOrderOfHarm([]string{c[planning], ask, c[holes]}), "a rule on water kills nobody")
	assert.Equal(t, []string{reading, c[planning]}, given[:2], "the map's own stay as they are")
}

// What the sheet prints is in that order.
func TestSheetPrintsCautionsInOrder(t *testing.T) {
	p, tt, err := jobPage(t).ready(true)
	assert.NoError(t, err)
	items := p.cautions(tt).Items
	assert.Equal(t, p.inOrderOfHarm(items), items)
	assert.Equal(t, 0, cautionKindOf(items[0]))
}
