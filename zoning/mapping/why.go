package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/units"
)

// Why explains one spot of a map in words: its slope, and of each machine that it may
// work there or what keeps it off. A spot off the ground and a map of other ground are
// errors.
func (g *Ground) Why(m *zoning.ZoneMap, at orb.Point) ([]string, error) {
	if err := g.checkMap(m); err != nil {
		return nil, err
	}
	grid := g.Elevation.Grid
	c, r := grid.Frame.Cell(at[0], at[1])
	col, row := int(math.Floor(c))-grid.Col0, int(math.Floor(r))-grid.Row0
	if !(col >= 0 && row >= 0 && col < grid.Cols && row < grid.Rows) {
		return nil, fmt.Errorf("%s lies off the ground that was read; longitude comes first", text.Degrees(at))
	}
	i := row*grid.Cols + col
	bands := m.Fleet.Bands()
	pct := m.Field.Pct(col, row)
	where := fmt.Sprintf("%s: slope %.1f%%; %s", text.Degrees(at), pct, bands[m.Fleet.Band(m.Cells.Masks[i])].Name)
	if pct != pct {
		where = fmt.Sprintf("%s: slope not known; %s", text.Degrees(at), bands[m.Fleet.Band(m.Cells.Masks[i])].Name)
	}
	if !g.work.Lots[i] {
		where += " (off the lots)"
	}
	words := []string{where}
	fleet := m.Fleet
	if m.Drawn != nil {
		fleet = m.Drawn
		words = append(words, "limits are those that zones were drawn by, inside the machines' own")
	}
	for k, machine := range fleet {
		if m.Cells.Lost == nil {
			words = append(words, fmt.Sprintf("%s: up to %.4g%%; nothing but slope was asked", machine.Name, machine.SteepestPct()))
			continue
		}
		words = append(words, machine.Name+": "+g.whyNot(m, machine, m.Cells.Lost[k][i], i, pct))
	}
	return words, nil
}

// whyNot says with its figures what a reason means at a cell.
func (g *Ground) whyNot(m *zoning.ZoneMap, machine zoning.Machine, why zoning.Why, i int, pct float64) string {
	known := func(v []float32) float64 {
		if v == nil {
			return math.NaN()
		}
		return float64(v[i])
	}
	switch why {
	case zoning.Closed:
		return "no: closed: " + g.closedBy(i)
	case zoning.InSetback:
		words := g.keptFrom(i, machine)
		if words == zoning.InSetback.Among(nil).Words && m.DrainageSetback != "" { // of no feature
			words = fmt.Sprintf("within the strip that the job keeps along drainage lines (%s)", m.DrainageSetback)
		}
		return "no: " + words
	case zoning.Works:
		if pct > machine.Driving().AlongPct {
			return fmt.Sprintf("may work it, from where it stands or on its tether: %.1f%% is above the %.4g%% it drives on", pct, machine.Driving().AlongPct) + g.thickHere(machine, i)
		}
		return "may work it" + g.thickHere(machine, i)
	case zoning.TooSteep:
		return tooSteep(machine, pct, m.Ground)
	case zoning.TooGreatAStep:
		return fmt.Sprintf("no: a step above %s or roughness above %s under it", feetAndInches(machine.StepM), feetAndInches(machine.RoughM))
	case zoning.NearDropOff:
		return "no: nearer to the edge of a drop than it is long, or than the drop is high"
	case zoning.NearCrest:
		return fmt.Sprintf("no: nearer than %s to a crest beyond which the ground falls by more than %.4g%% for 10 ft or more", feet(crestM(machine)), machine.Driving().AlongPct)
	case zoning.TooSoft:
		return fmt.Sprintf("no: the ground bears %s, and it presses %s", pressure(known(g.work.BearsKPa)), pressure(machine.PressureKPa))
	case zoning.TooMuchGrowth:
		return fmt.Sprintf("no: growth %s tall with stems of %s; it handles %s and %s", orUnknown(known(g.work.GrowthM)), orUnknown(known(g.work.StemsM)),
			orUnknown(orNaN(machine.TallestM)), orUnknown(orNaN(machine.StemM)))
	case zoning.LeaveTrees:
		return "no: selective clearing, and it is for production"
	case zoning.OverPosting:
		return g.postedAt(i, machine)
	case zoning.TooNarrow:
		return fmt.Sprintf("no: it is %s wide and does not fit, with a foot to spare on either side", feetAndInches(machine.WidthM))
	case zoning.NoTurn:
		return fmt.Sprintf("no: no way of %s or less straight up or down the fall line to ground of %.4g%% or less, where it can turn", feet(orDefault(machine.RunM, zoning.DefaultRunM)), machine.CrossPct)
	case zoning.OnlyAcross:
		return fmt.Sprintf("no: only to be reached across the slope, and it is held to %.4g%% across", machine.CrossPct)
	case zoning.NoWayIn:
		if noLoad(m, machine.Key) {
			return "no: its load gets to no staging, by what is posted on the road there"
		}
		return "no: no access route from where it is unloaded"
	case zoning.OutOfReach:
		return fmt.Sprintf("no: out of reach (%s) of where it may stand and swing (%.4g%% or less)", feet(machine.ReachM), machine.Standing().AlongPct)
	case zoning.TooSmallAPatch:
		return fmt.Sprintf("no: the patch is smaller than the %.4g acres worth moving it to", machine.PatchAcres)
	}
	return "no: " + m.Reason(why).Words
}

// tooSteep says what a slope is above, and of a tether why it does not help.
func tooSteep(m zoning.Machine, pct float64, ground zoning.Moisture) string {
	words := fmt.Sprintf("no: slope %.1f%%, and it is held to %.4g%% on %s ground", pct, m.Driving().AlongPct, ground)
	switch {
	case m.TetherAbovePct == 0 || pct >= m.LimitPct || ground == zoning.Wet:
		return words
	case m.TetherBasis == "":
		return words + "; above that on a tether only, and the fleet does not say that its manual allows one (tether_basis)"
	}
	return words + fmt.Sprintf("; above that on a tether only, and what holds it stands nowhere within %s straight up the fall line", feet(m.TetherM))
}

// laid is what one feature says of the cells: nothing where it cannot be laid, for no map
// was made with it.
func (g *Ground) laid(f site.Feature) *site.Ground {
	laid, err := site.Lay([]site.Feature{f}, g.Elevation.Grid)
	if err != nil {
		return &site.Ground{}
	}
	return laid
}

// closedBy names what closes a cell.
func (g *Ground) closedBy(i int) string {
	for _, f := range g.Features {
		if closed := g.laid(f).Closed; closed != nil && closed[i] {
			return called(f)
		}
	}
	return "dead-flat water, or a void that is not declared as one (" + setting.Name("water-is-ground") + " overrules, and so does a shape of kind ground)"
}

// keptFrom names what a cell is too near to for a machine.
func (g *Ground) keptFrom(i int, m zoning.Machine) string {
	for _, f := range g.Features {
		laid := g.laid(f)
		if laid.Setback != nil && laid.Setback[i] {
			switch {
			case f.Setback.Rule != nil:
				return fmt.Sprintf("within the setback of %s, which grows with slope (%s)", called(f), f.Setback.Rule.Key)
			case f.Setback.WidthM == 0:
				return fmt.Sprintf("within the setback of %s, %s where none is given", called(f), feet(f.KeptBack().WidthM))
			}
			return fmt.Sprintf("within the setback of %s, %s", called(f), feet(f.Setback.WidthM))
		}
		if laid.BeyondLineM != nil && float64(laid.BeyondLineM[i]) < m.ReachM {
			return fmt.Sprintf("too near to %s: its clearance is %s, and the boom reaches %s", called(f), feet(max(site.ClearanceM(f.KV), f.Setback.WidthM)), feet(m.ReachM))
		}
	}
	return zoning.InSetback.Among(nil).Words
}

// called names a feature, and says what it is.
func called(f site.Feature) string {
	if f.Name == "" {
		return "a feature drawn as " + string(f.Kind)
	}
	return fmt.Sprintf("%s (%s)", f.Name, f.Kind)
}

// crestM is how far a machine keeps back from crests.
func crestM(m zoning.Machine) float64 {
	return orDefault(m.CrestM, orDefault(m.FootprintM, zoning.DefaultFootprintM))
}

func orDefault(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}

func orNaN(v float64) float64 { return orDefault(v, math.NaN()) }

func pressure(kPa float64) string {
	if kPa == 0 {
		return "nobody has said how much"
	}
	return fmt.Sprintf("%.1f psi (%.0f kPa)", units.PSI(kPa), kPa)
}

// orUnknown writes a length in feet, or in inches where it is short.
func orUnknown(m float64) string {
	if m != m {
		return "not known"
	}
	return feetAndInches(m)
}

func feetAndInches(m float64) string {
	if m == 0 {
		return "any"
	}
	if in := m / zoning.MetresPerFoot * 12; in < 24 {
		return fmt.Sprintf("%.0f in", in)
	}
	return fmt.Sprintf("%.3g ft", m/zoning.MetresPerFoot)
}

// noLoad reports whether a machine's load gets to no staging of a map.
func noLoad(m *zoning.ZoneMap, key string) bool {
	var any zoning.Mask
	for _, at := range m.Access.Lands {
		any |= at
	}
	k := slices.IndexFunc(m.Fleet, func(of zoning.Machine) bool { return of.Key == key })
	return m.Access.Lands != nil && k >= 0 && any>>k&1 == 0
}
