package fleet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/fleet"
)

// A machine without a tether is covered by one before it that drives as steep off its own,
// whatever holds that.
func TestAMachineIsCoveredByWhatIsDrivenOffTheTether(t *testing.T) {
	for limit, never := range map[string]bool{"39%": true, "40%": true, "41%": false} {
		_, err := fleet.Parse("f", []byte("machines:\n- {key: a, name: A, limit: 60%, tether_above: 40%, tether_basis: p. 3, tether: 200ft, anchor: w}\n"+
			"- {key: b, name: B, limit: "+limit+"}\n- {key: w, name: W, limit: 110%}\n"))
		if never {
			assert.ErrorContains(t, err, `machine "b" can never be first`, limit)
		} else {
			assert.NoError(t, err, limit)
		}
	}
}
