package trafficability

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// meadow is a rule that keeps machines heavier than a pressure off some cells.
func meadow(kPa float64, is func(cell int) bool) Rule {
	return Rule{Reason: zoning.Reason{Key: "wet-meadow", Words: "wet meadow"}, Of: func(a Asked) func(int) bool {
		if a.Machine.PressureKPa <= kPa {
			return nil
		}
		return is
	}}
}

const ofMeadow = zoning.Why(zoning.Reasons)

// An added rule keeps off the machines that it means, on the cells that it means, with its
// own reason; ground that no machine may work is hand work.
func TestAddedRulesKeepMachinesOff(t *testing.T) {
	g := level(t, 40, 40, 1)
	west := func(cell int) bool { return cell%40 < 20 }
	g.Rules = []Rule{meadow(50, west)}
	heavy, light := loader, loader
	heavy.PressureKPa, light.Key, light.PressureKPa = 60, "light", 50
	w := find(g, heavy, light)
	at := func(c, r int) int { return r*40 + c }
	assert.Equal(t, ofMeadow, w.Why[0][at(5, 20)])
	assert.Equal(t, ofMeadow, w.Why[0][at(19, 20)])
	assert.Equal(t, zoning.Works, w.Why[0][at(30, 20)])
	assert.Equal(t, zoning.Works, w.Why[1][at(5, 20)])
	assert.Equal(t, zoning.Mask(0b10), w.Masks[at(5, 20)])
	assert.False(t, w.Stands[0][at(5, 20)], "nor does it drive there")
	assert.Equal(t, zoning.Mask(0), find(g, heavy).Masks[at(5, 20)], "hand work")
}

// Of two added rules the first counts, and any built-in one that looks at the cell before
// both.
func TestAddedRulesAreAskedInOrderAfterTheBuiltInOnes(t *testing.T) {
	g := level(t, 30, 30, 1).closed(func(c, _ int) bool { return c >= 25 })
	all := func(int) bool { return true }
	second := Rule{Reason: zoning.Reason{Key: "nesting", Words: "nesting birds"}, Of: func(Asked) func(int) bool { return all }}
	g.Rules = []Rule{meadow(0, func(cell int) bool { return cell%30 < 10 }), second}
	heavy := loader
	heavy.PressureKPa = 60
	why := find(g, heavy).Why[0][15*30:]
	assert.Equal(t, [3]zoning.Why{ofMeadow, ofMeadow + 1, zoning.Closed}, [3]zoning.Why{why[5], why[15], why[27]})
	g.Keep = make([]bool, 900)
	fill(g.Keep)
	heavy.Work = zoning.Production
	assert.Equal(t, zoning.LeaveTrees, find(g, heavy).Why[0][15*30+5], "the last of the built-in ones that look at the cell alone")
}

// A boom works ground of an added rule only where the rule says so: who forgets to say it
// loses acres, no machine.
func TestAddedRulesHoldBoomsUnlessTheySayOtherwise(t *testing.T) {
	g := level(t, 60, 60, 1)
	ditch := Rule{Reason: zoning.Reason{Key: "ditch", Words: "ditch"}, Of: func(Asked) func(int) bool {
		return func(cell int) bool { c := cell % 60; return c >= 30 && c < 32 }
	}}
	g.Rules = []Rule{ditch}
	assert.Equal(t, ofMeadow, find(g, boom).Why[0][30*60+30])
	g.Rules[0].BoomWorks = true
	assert.Equal(t, zoning.Works, find(g, boom).Why[0][30*60+30])
	assert.Equal(t, ofMeadow, find(g, loader).Why[0][30*60+30], "no boom")

	// Where another rule was asked first, the ground is as much kept from the head.
	g.BearsKPa = make([]float32, 60*60)
	for i := range g.BearsKPa {
		g.BearsKPa[i] = 1000
		if g.Rules[0].Of(Asked{})(i) {
			g.BearsKPa[i] = 1
		}
	}
	heavy := boom
	heavy.PressureKPa = 60
	assert.Equal(t, zoning.Works, find(g, heavy).Why[0][30*60+30])
	g.Rules[0].BoomWorks = false
	assert.Equal(t, zoning.TooSoft, find(g, heavy).Why[0][30*60+30])
}

// A rule is asked with the machine, its place in the fleet and the slope it drives up to,
// that of its tether where something can hold it.
func TestWhatARuleIsAskedWith(t *testing.T) {
	g := level(t, 30, 30, 1)
	asked := make(chan Asked, 3)
	g.Rules = []Rule{{Reason: zoning.Reason{Key: "a", Words: "b"}, Of: func(a Asked) func(int) bool { asked <- a; return nil }}}
	hung := crawler
	hung.TetherBasis = "manual"
	find(g, loader, boom, hung)
	close(asked)
	got := map[string]Asked{}
	for a := range asked {
		require.Equal(t, g.Grid, a.Ground.Grid)
		require.NotNil(t, a.Ground.Drive)
		got[a.Machine.Key] = Asked{Index: a.Index, AlongPct: a.AlongPct}
	}
	assert.Equal(t, map[string]Asked{"loader": {Index: 0, AlongPct: 30}, "boom": {Index: 1, AlongPct: 35}, "crawler": {Index: 2, AlongPct: 100}}, got)
}

// Whoever adds a rule that cannot be used is told which and why, before any work.
func TestAddedRulesThatCannotBeUsed(t *testing.T) {
	none := func(Asked) func(int) bool { return nil }
	rule := func(key, words string) Rule { return Rule{Reason: zoning.Reason{Key: key, Words: words}, Of: none} }
	for words, rules := range map[string][]Rule{
		`the rule "meadow" has no Of`:        {{Reason: zoning.Reason{Key: "meadow", Words: "meadow"}}},
		`two reasons have the key "setback"`: {rule("setback", "mine")},
		`two reasons have the key "mine"`:    {rule("mine", "mine"), rule("mine", "mine")},
		`the key "" of a reason`:             {rule("", "mine")},
		`the key "Wet meadow" of a reason`:   {rule("Wet meadow", "mine")},
		`the words "" of the reason mine`:    {rule("mine", "")},
		`241 reasons are added`:              slices.Repeat([]Rule{rule("mine", "mine")}, 241),
	} {
		g := level(t, 5, 5, 1)
		g.Rules = rules
		_, err := Find(context.Background(), g, []zoning.Machine{loader})
		assert.ErrorContains(t, err, words)
	}
	g := level(t, 5, 5, 1)
	for i := range zoning.MostAdded {
		g.Rules = append(g.Rules, rule("mine-"+strings.Repeat("i", i+1), "mine"))
	}
	_, err := Find(context.Background(), g, []zoning.Machine{loader})
	assert.NoError(t, err, "as many as a byte holds")
}

// What an added rule's func panics with reaches whoever called Find, who can recover it.
func TestAPanicOfAnAddedRuleReachesTheCaller(t *testing.T) {
	g := level(t, 5, 5, 1)
	g.Rules = []Rule{meadow(-1, func(int) bool { panic("mine") })}
	assert.Panics(t, func() { find(g, loader) })
}

// Ground that is none made Find panic.
func TestFindOfNoGroundIsAnError(t *testing.T) {
	_, err := Find(context.Background(), nil, []zoning.Machine{loader})
	assert.EqualError(t, err, "there is no ground")
}
