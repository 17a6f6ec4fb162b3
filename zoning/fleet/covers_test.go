package fleet_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// A machine may stand behind another if one thing is better about it, whichever.
func TestAMachineBetterInOneThingMayComeLater(t *testing.T) {
	const base = `limit: 40%, cross: 20%, wet_limit: 30%, wet_cross: 15%, swing_limit: 30%, swing_cross: 15%, wet_swing_limit: 20%,
 wet_swing_cross: 10%, reach: 20ft, reach_up: 100%, reach_down: 65%, tether_above: 35%, tether_basis: p. 3, tether: 200ft, anchor: w,
 footprint: 10ft, width: 8ft, step: 18in, roughness: 6in, run: 200ft, tallest: 20ft, stem: 8in, pressure: 5psi, patch: 0.5ac,
 weight: 20000lb, height: 9ft,
 work: production, procedure_above: 30%, thrown: 300ft`
	parse := func(first, then string) error {
		_, err := fleet.Parse("crew.yaml", []byte("machines:\n- {key: a, name: A, "+first+"}\n- {key: b, name: B, "+then+"}\n"+
			"- {key: w, name: W, limit: 110%}\n- {key: v, name: V, limit: 111%}\n"))
		return err
	}
	for _, c := range []struct{ key, was, better string }{
		{"limit", "40%", "41%"}, {"cross", "20%", "21%"}, {"wet_limit", "30%", "31%"}, {"wet_cross", "15%", "16%"},
		{"swing_limit", "30%", "31%"}, {"swing_cross", "15%", "16%"}, {"wet_swing_limit", "20%", "21%"},
		{"wet_swing_cross", "10%", "11%"}, {"reach", "20ft", "21ft"}, {"reach_up", "100%", "101%"},
		{"reach_down", "65%", "66%"}, {"tether_above", "35%", "36%"}, {"tether", "200ft", "201ft"},
		{"footprint", "10ft", "9ft"}, {"width", "8ft", "7ft"}, {"step", "18in", "19in"}, {"roughness", "6in", "7in"},
		{"run", "200ft", "201ft"}, {"tallest", "20ft", "21ft"}, {"stem", "8in", "9in"}, {"pressure", "5psi", "4psi"},
		{"weight", "20000lb", "19000lb"}, {"height", "9ft", "8ft"},
		{"patch", "0.5ac", "0.4ac"}, {"work", "production", "selective"},
	} {
		was, better := " "+c.key+": "+c.was, " "+c.key+": "+c.better
		require.Contains(t, " "+base, was)
		changed := strings.Replace(" "+base, was, better, 1)
		assert.NoError(t, parse(base, changed), "%s is better behind", c.key)
		assert.ErrorContains(t, parse(changed, base), `machine "b" can never be first`, "%s is worse behind", c.key)
	}
	without := func(key string) string {
		at := strings.Index(base, " "+key+":")
		rest := base[at:]
		return base[:at] + rest[strings.Index(rest, ",")+1:]
	}
	// What is left out is no limit, or the least there can be.
	for _, key := range []string{"width", "step", "roughness", "tallest", "stem", "patch", "work"} {
		assert.NoError(t, parse(base, without(key)), "%s: none behind", key)
		assert.ErrorContains(t, parse(without(key), base), "can never be first", "%s: none before", key)
	}
	for _, key := range []string{"pressure", "weight", "height"} {
		assert.NoError(t, parse(without(key), base), "a known %s is better than none", key)
		assert.ErrorContains(t, parse(base, without(key)), "can never be first")
	}
	assert.NoError(t, parse(without("tether_basis"), base), "a tether that the manual does not allow works no ground")
	assert.ErrorContains(t, parse(without("tether_basis"), without("tether_basis")), "can never be first")
	assert.NoError(t, parse("limit: 70%", "limit: 100%, tether_above: 60%"), "its manual may yet be looked up")
	assert.NoError(t, parse("limit: 100%, tether_above: 60%", "limit: 70%"), "without a tether it goes further")
	assert.ErrorContains(t, parse("limit: 100%, tether_above: 60%", "limit: 60%"), "can never be first")
	assert.NoError(t, parse(base, strings.Replace(base, "anchor: w", "anchor: v", 1)), "another machine may hold it")

	// These give no ground.
	for _, c := range [][2]string{{"procedure_above: 30%", "procedure_above: 39%"}, {"thrown: 300ft", "thrown: 100ft"}} {
		assert.ErrorContains(t, parse(base, strings.Replace(base, c[0], c[1], 1)), "can never be first", c[1])
	}
	assert.ErrorContains(t, parse(base, base), "can never be first")
}

// place is one spot with all that may hold a machine back there.
type place struct {
	on                            zoning.Moisture
	standing                      bool
	alongPct, crossPct            float64
	stepM, roughM, growthM, stemM float64
	wayM, lengthM, runM           float64 // room for its width and footprint; how far it can turn
	bearsKPa                      float64 // 0: not known
	acres                         float64
	selective                     bool
	faceM, faceUpPct, faceDownPct float64 // from where it stands
}

// works tells in the words of [zoning.Machine] whether m works a place.
func works(m zoning.Machine, p place) bool {
	along, cross := m.LimitPct, m.CrossPct
	set := func(l zoning.Limits) {
		if l.AlongPct > 0 {
			along = min(along, l.AlongPct)
		}
		if l.CrossPct > 0 && (cross == 0 || l.CrossPct < cross) {
			cross = l.CrossPct
		}
	}
	if p.on == zoning.Wet {
		set(m.Wet)
	}
	if p.standing {
		set(m.Swing)
		if p.on == zoning.Wet {
			set(m.WetSwing)
		}
	}
	holds := func(limit, is float64) bool { return limit == 0 || is <= limit }
	or := func(a, b float64) float64 {
		if a == 0 {
			return b
		}
		return a
	}
	return p.alongPct <= along && holds(cross, p.crossPct) &&
		holds(m.StepM, p.stepM) && holds(m.RoughM, p.roughM) && holds(m.TallestM, p.growthM) && holds(m.StemM, p.stemM) &&
		m.WidthM <= p.wayM && or(m.FootprintM, 3) <= p.lengthM && p.runM <= or(m.RunM, 60.96) &&
		(p.bearsKPa == 0 || m.PressureKPa > 0 && m.PressureKPa <= p.bearsKPa) && m.PatchAcres <= p.acres &&
		!(p.selective && m.Work == zoning.Production) &&
		p.faceM <= m.ReachM && p.faceUpPct <= m.ReachUpPct && p.faceDownPct <= m.ReachDownPct
}

// placesOf are the places that are as easy as can be in all but one thing, which
// is as hard as m just works.
func placesOf(m zoning.Machine) (all []place) {
	const hard, easy = 1e6, 1e-6
	limit := func(v float64) float64 {
		if v == 0 {
			return hard
		}
		return v
	}
	for _, on := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
		for _, standing := range []bool{false, true} {
			flat := place{on: on, standing: standing, wayM: hard, lengthM: hard, acres: hard}
			for _, pct := range []float64{m.LimitPct, m.Wet.AlongPct, m.Swing.AlongPct, m.WetSwing.AlongPct} {
				p := flat
				p.alongPct = pct
				all = append(all, p)
			}
			for _, pct := range []float64{m.CrossPct, m.Wet.CrossPct, m.Swing.CrossPct, m.WetSwing.CrossPct} {
				p := flat
				p.crossPct = limit(pct)
				all = append(all, p)
			}
			for _, harden := range []func(p *place){
				func(p *place) { p.stepM = limit(m.StepM) },
				func(p *place) { p.roughM = limit(m.RoughM) },
				func(p *place) { p.growthM = limit(m.TallestM) },
				func(p *place) { p.stemM = limit(m.StemM) },
				func(p *place) { p.wayM = max(easy, m.WidthM) },
				func(p *place) { p.lengthM = m.FootprintM },
				func(p *place) { p.lengthM = 3 },
				func(p *place) { p.runM = m.RunM },
				func(p *place) { p.runM = 60.96 },
				func(p *place) { p.bearsKPa = m.PressureKPa },
				func(p *place) { p.acres = m.PatchAcres },
				func(p *place) { p.selective = true },
				func(p *place) { p.faceM = m.ReachM },
				func(p *place) { p.faceUpPct = m.ReachUpPct },
				func(p *place) { p.faceDownPct = m.ReachDownPct },
			} {
				p := flat
				harden(&p)
				all = append(all, p)
			}
		}
	}
	return all
}

// A machine is refused exactly if the one before it works every place that it
// works, by trying the places.
func TestRefusedExactlyIfNeverFirst(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	values := []struct{ key, low, high string }{
		{"cross", "20%", "25%"}, {"wet_limit", "28%", "29%"}, {"wet_cross", "10%", "12%"}, {"swing_limit", "28.5%", "29.5%"},
		{"swing_cross", "11%", "13%"}, {"wet_swing_limit", "27%", "27.5%"}, {"wet_swing_cross", "8%", "9%"},
		{"step", "12in", "18in"}, {"roughness", "4in", "6in"}, {"tallest", "20ft", "30ft"}, {"stem", "6in", "8in"},
		{"width", "6ft", "8ft"}, {"footprint", "9ft", "11ft"}, {"run", "100ft", "300ft"}, {"pressure", "4psi", "5psi"},
		{"patch", "0.1ac", "1ac"}, {"work", "production", "selective"},
	}
	machine := func(key string) string {
		s := fmt.Sprintf("- {key: %s, name: M, limit: %d%%", key, 30+rng.IntN(2))
		if rng.IntN(4) == 0 {
			s += []string{", reach: 20ft", ", reach: 25ft"}[rng.IntN(2)] + ", reach_up: 100%" + []string{"", ", reach_down: 65%"}[rng.IntN(2)]
		}
		for _, v := range values {
			switch rng.IntN(12) {
			case 0:
				s += ", " + v.key + ": " + v.low
			case 1:
				s += ", " + v.key + ": " + v.high
			}
		}
		return s + "}\n"
	}
	verdicts := map[bool]int{}
	for range 3000 {
		a, b := machine("a"), machine("b")
		alone, err := fleet.Parse("b.yaml", []byte("machines:\n"+b))
		if err != nil {
			continue // wet and standing limits that do not fit together
		}
		before, err := fleet.Parse("a.yaml", []byte("machines:\n"+a))
		if err != nil {
			continue
		}
		never := true
		for _, p := range placesOf(alone[0]) {
			never = never && (!works(alone[0], p) || works(before[0], p))
		}
		_, err = fleet.Parse("ab.yaml", []byte("machines:\n"+a+b))
		require.Equal(t, never, err != nil, "%s%s%v", a, b, err)
		verdicts[never]++
	}
	assert.Greater(t, verdicts[true], 100)
	assert.Greater(t, verdicts[false], 1000)
}
