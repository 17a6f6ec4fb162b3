package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/trafficability"
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
	u := m.Units
	switch why {
	case zoning.Closed:
		return "no: closed: " + g.closedBy(i)
	case zoning.InSetback:
		words := g.keptFrom(u, i, machine)
		if words == zoning.InSetback.Among(nil).Words && m.DrainageSetback != "" { // of no feature
			words = fmt.Sprintf("within the strip that the job keeps along drainage lines (%s)", m.DrainageSetback)
		}
		return "no: " + words
	case zoning.Works:
		if pct > machine.Driving().AlongPct {
			return fmt.Sprintf("may work it, from where it stands or on its tether: %.1f%% is above the %.4g%% it drives on", pct, machine.Driving().AlongPct) + g.thickHere(u, machine, i)
		}
		return "may work it" + g.thickHere(u, machine, i)
	case zoning.TooSteep:
		return tooSteep(u, machine, pct, m.Ground)
	case zoning.TooGreatAStep:
		return fmt.Sprintf("no: a step above %s or roughness above %s under it", orAny(u, machine.StepM), orAny(u, machine.RoughM))
	case zoning.NearDropOff:
		return "no: nearer to the edge of a drop than it is long, or than the drop is high"
	case zoning.NearCrest:
		return fmt.Sprintf("no: nearer than %s to a crest beyond which the ground falls by more than %.4g%% for %s or more", u.AtLeast(crestM(machine)), machine.Driving().AlongPct, u.Size(trafficability.CrestFaceM))
	case zoning.TooSoft:
		return fmt.Sprintf("no: the ground bears %s, and it presses %s", pressure(u, known(g.work.BearsKPa)), pressure(u, machine.PressureKPa))
	case zoning.TooMuchGrowth:
		return fmt.Sprintf("no: growth %s tall with stems of %s; it handles %s and %s", orUnknown(u, known(g.work.GrowthM)), orUnknown(u, known(g.work.StemsM)),
			orUnknown(u, orNaN(machine.TallestM)), orUnknown(u, orNaN(machine.StemM)))
	case zoning.LeaveTrees:
		return "no: selective clearing, and it is for production"
	case zoning.OverPosting:
		return g.postedAt(u, i, machine)
	case zoning.TooNarrow:
		return fmt.Sprintf("no: it is %s wide and does not fit, with %s to spare on either side", orAny(u, machine.WidthM), u.Foot())
	case zoning.NoTurn:
		return fmt.Sprintf("no: no way of %s or less straight up or down the fall line to ground of %.4g%% or less, where it can turn", u.Length(orDefault(machine.RunM, zoning.DefaultRunM)), machine.CrossPct)
	case zoning.OnlyAcross:
		return fmt.Sprintf("no: only to be reached across the slope, and it is held to %.4g%% across", machine.CrossPct)
	case zoning.NoWayIn:
		if noLoad(m, machine.Key) {
			return "no: its load gets to no staging, by what is posted on the road there"
		}
		return "no: no access route from where it is unloaded"
	case zoning.OutOfReach:
		return fmt.Sprintf("no: out of reach (%s) of where it may stand and swing (%.4g%% or less)", u.Length(machine.ReachM), machine.Standing().AlongPct)
	case zoning.TooSmallAPatch:
		return fmt.Sprintf("no: the patch is smaller than the %.4g %s worth moving it to", u.Area(machine.PatchAcres), u.Areas())
	}
	return "no: " + m.Reason(why).Words
}

// tooSteep says what a slope is above, and of a tether why it does not help.
func tooSteep(u measure.Units, m zoning.Machine, pct float64, ground zoning.Moisture) string {
	words := fmt.Sprintf("no: slope %.1f%%, and it is held to %.4g%% on %s ground", pct, m.Driving().AlongPct, ground)
	switch {
	case m.TetherAbovePct == 0 || pct >= m.LimitPct || ground == zoning.Wet:
		return words
	case m.TetherBasis == "":
		return words + "; above that on a tether only, and the fleet does not say that its manual allows one (tether_basis)"
	}
	return words + fmt.Sprintf("; above that on a tether only, and what holds it stands nowhere within %s straight up the fall line", u.Length(m.TetherM))
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
func (g *Ground) keptFrom(u measure.Units, i int, m zoning.Machine) string {
	for _, f := range g.Features {
		laid := g.laid(f)
		if laid.Setback != nil && laid.Setback[i] {
			switch {
			case f.Setback.Rule != nil:
				return fmt.Sprintf("within the setback of %s, which grows with slope (%s)", called(f), f.Setback.Rule.Key)
			case f.Setback.WidthM == 0:
				return fmt.Sprintf("within the setback of %s, %s where none is given", called(f), u.AtLeast(f.KeptBack().WidthM))
			}
			return fmt.Sprintf("within the setback of %s, %s", called(f), u.AtLeast(f.Setback.WidthM))
		}
		if laid.BeyondLineM != nil && float64(laid.BeyondLineM[i]) < m.ReachM {
			return fmt.Sprintf("too near to %s: its clearance is %s, and the boom reaches %s", called(f), u.AtLeast(max(site.ClearanceM(f.KV), f.Setback.WidthM)), u.Length(m.ReachM))
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

func pressure(u measure.Units, kPa float64) string {
	if kPa == 0 {
		return "nobody has said how much"
	}
	return u.Pressure(kPa)
}

// orUnknown writes a length that may not be known.
func orUnknown(u measure.Units, m float64) string {
	if m != m {
		return "not known"
	}
	return orAny(u, m)
}

func orAny(u measure.Units, m float64) string {
	if m == 0 {
		return "any"
	}
	return u.Thickness(m)
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
