package zoning

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// What makes an answer void comes gravest first, and a warning that changes nothing is none of it.
func TestStops(t *testing.T) {
	m := &ZoneMap{
		Sources:  []terrain.Source{{UnitFrom: "header", Unit: "m"}, {UnitFrom: "assumed", Unit: "us-ft"}},
		Warnings: []string{"RAISED: the crawler to 65%", "a seam of 0.2 m", "screening only: cells of 30 m"},
		Cautions: []string{AccessNotChecked},
	}
	assert.Equal(t, []string{"screening only: cells of 30 m",
		"heights are taken to be in US survey feet: the elevation does not say (elevation-unit)",
		"access is not checked: give staging", "RAISED: the crawler to 65%"}, m.Stops())
	m.Access.Pockets = make([]Pocket, 2)
	m.Cautions = []string{NoWaysAsked}
	assert.Contains(t, m.Stops()[2], "and 2 pieces are cut off, nor turning")
	m.Cautions = []string{BySlopeAlone}
	assert.Contains(t, m.Stops()[2], "slope alone")
	assert.Nil(t, (&ZoneMap{Access: Access{Checked: true}}).Stops())
}
