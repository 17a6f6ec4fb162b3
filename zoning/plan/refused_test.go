package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// A plan without a site, a book or a fleet that can be used made the program panic.
func TestMakeRefusesWhatIsNotThere(t *testing.T) {
	fleet := []zoning.Machine{{Key: "a", LimitPct: 30}}
	for _, c := range []struct {
		site  *Site
		fleet []zoning.Machine
		book  *Book
		words string
	}{
		{nil, fleet, &Book{}, "there is no site or no book"},
		{&Site{}, fleet, nil, "there is no site or no book"},
		{&Site{}, nil, &Book{}, "the fleet has no machine"},
		{&Site{}, []zoning.Machine{{Key: "a", LimitPct: 30, Wet: zoning.Limits{AlongPct: 40}}}, &Book{}, "wet_limit 40% is above its limit 30%"},
	} {
		_, err := Make(c.site, c.fleet, c.book)
		assert.ErrorContains(t, err, c.words)
	}
}
