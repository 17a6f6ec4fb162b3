package zoning

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The bits of a fifteenth and a sixteenth machine are those of no-go and unknown ground.
func TestNewFleetRefusesMoreMachinesThanAMaskHolds(t *testing.T) {
	var many []Machine
	for i := range MaxMachines + 2 {
		many = append(many, Machine{Key: fmt.Sprint("m", i), LimitPct: 30})
	}
	require.Equal(t, NoGo, Mask(1)<<MaxMachines)
	require.Equal(t, Unknown, Mask(1)<<(MaxMachines+1))
	for n := 1; n <= len(many); n++ {
		fleet, err := NewFleet(many[:n])
		if n > MaxMachines {
			assert.EqualError(t, err, fmt.Sprintf("the fleet has %d machines; at most 14 fit", n))
			assert.Nil(t, fleet)
			continue
		}
		require.NoError(t, err)
		assert.Equal(t, Fleet(many[:n]), fleet)
	}
}

func TestNewFleetRefusesWhatCheckRefuses(t *testing.T) {
	good := Machine{Key: "a", LimitPct: 30}
	for words, machines := range map[string][]Machine{
		"the fleet has no machine": {},
		"machine 2 has no key":     {good, {LimitPct: 20}},
		`machine key "a" is taken`: {good, good},
		`"b": width of NaNm`:       {good, {Key: "b", LimitPct: 20, WidthM: math.NaN()}},
	} {
		fleet, err := NewFleet(machines)
		assert.ErrorContains(t, err, words)
		assert.Nil(t, fleet)
	}
}

// A caller that changes its slice afterwards would get past the check.
func TestNewFleetIsItsOwn(t *testing.T) {
	machines := []Machine{{Key: "a", LimitPct: 30}}
	fleet := must(NewFleet(machines))
	machines[0].LimitPct = math.NaN()
	assert.Equal(t, 30.0, fleet[0].LimitPct)
}

func TestTheZeroFleetIsSafe(t *testing.T) {
	var none Fleet
	assert.ErrorContains(t, none.Check(), "no machine")
	assert.Empty(t, none.On(Wet))
	assert.Equal(t, math.Inf(1), none.LeastFootprintM())
	assert.Equal(t, math.Inf(1), none.StepCareM())
	bands := none.Bands()
	require.Len(t, bands, 5)
	for mask, key := range map[Mask]string{0: NoMachineKey, 1: NoMachineKey, 1<<13 | 2: NoMachineKey, Unknown: UnknownKey, NoGo: NoGoKey, NoGo | 1: NoGoKey, NeedsMachine: NeedsMachineKey, WaitsDry: WaitsDryKey} {
		assert.Equal(t, key, bands[none.Band(mask)].Key, "%016b", mask)
	}
}

// Machine 3's bit of a fleet of two used to read as its band "unknown".
func TestBandsOfAFleet(t *testing.T) {
	fleet := Fleet{{Key: "a"}, {Key: "b"}}
	var all []string
	for i, b := range fleet.Bands() {
		all = append(all, b.Key)
		assert.Equal(t, b.Machine >= 0, fleet.IsMachine(i), b.Key)
	}
	assert.Equal(t, []string{"a", "b", NeedsMachineKey, WaitsDryKey, NoMachineKey, UnknownKey, NoGoKey}, all)
	assert.False(t, fleet.IsMachine(-1))
	assert.Equal(t, []int{2, 3, 4, 5, 6}, []int{fleet.NeedsMachineBand(), fleet.WaitsDryBand(), fleet.NoMachineBand(), fleet.UnknownBand(), fleet.NoGoBand()})
	for mask, band := range map[Mask]int{1: 0, 3: 0, 2: 1, NeedsMachine: 2, WaitsDry: 3, 0: 4, 1 << 3: 4, Unknown: 5, NoGo: 6} {
		assert.Equal(t, band, fleet.Band(mask), "%016b", mask)
	}
}

// Two keys that columns name alike gave two columns of one name: no-data and no_data, track-loader and track_loader.
func TestKeysOfOneColumnAreRefused(t *testing.T) {
	one, two := Machine{LimitPct: 30}, Machine{LimitPct: 30}
	one.Key = "no-data"
	assert.EqualError(t, Fleet{one}.Check(), `machine key "no-data" is taken or reserved`)
	one.Key, two.Key = "track-loader", "track_loader"
	assert.EqualError(t, Fleet{one, two}.Check(), `machine key "track_loader" is taken or reserved`)
}
