package sheet

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/text"
)

// Ground counts in what a lot needs where it is needShare of the lot or needAcres: a
// few square feet make no lot hard, and a quarter of an acre is work on a lot of any
// size. The project's own choice, no source.
const (
	needShare = 0.05
	needAcres = 0.25
)

// needAreaText writes needAcres.
func needAreaText(u measure.Units) string {
	return fmt.Sprintf("%.3g %s", u.Area(needAcres), u.Areas())
}

// Counts tells whether so many acres of a lot's acres count in what it needs.
func Counts(acres, lotAcres float64) bool {
	return acres > 0 && (acres >= needShare*lotAcres || acres >= needAcres)
}

// walkShare is the part of a lot that is to be verified on foot above which it is
// marked to be walked first. The project's own choice, no source.
const walkShare = 0.25

// need is what a lot asks for: three for each machine of the fleet in its order, the
// last machine whose ground counts, and three for lots where none's does. The last of
// the three is ground for no machine, the one before it unknown ground.
type need int

// What of the ground is nobody's, in a need.
const (
	nothingElse = iota // but what is closed to machines
	someUnknown
	someForNone
	needsEach
)

func needOf(machine, rest int) need { return need(needsEach*machine + rest) }

func (n need) machine() int { return int(n) / needsEach } // the number of machines for none
func (n need) rest() int    { return int(n) % needsEach }

// needs is how many needs there are with so many machines.
func needs(machines int) int { return needsEach * (machines + 1) }

// lotNeed finds what a lot needs. Where no part of it counts the largest does.
func lotNeed(lot zoning.LotMap, machines int) need {
	counts := make([]bool, machines+palette.Rest)
	largest := zoning.Zone{Band: machines + palette.Unknown}
	any := false
	for _, z := range lot.Zones {
		counts[z.Band] = Counts(z.Acres, lot.Acres)
		any = any || counts[z.Band]
		if z.Acres > largest.Acres {
			largest = z
		}
	}
	if !any {
		counts[largest.Band] = true
	}
	last := machines - 1
	for last >= 0 && !counts[last] {
		last--
	}
	unworked := counts[machines+palette.NeedsMachine] || counts[machines+palette.WaitsDry] // as planned
	none, unknown := counts[machines+palette.ForNone] || unworked, counts[machines+palette.Unknown]
	if last < 0 {
		last = machines
		none = none && !(unknown && largest.Band == machines+palette.Unknown)
	}
	switch {
	case none:
		return needOf(last, someForNone)
	case unknown:
		return needOf(last, someUnknown)
	}
	return needOf(last, nothingElse)
}

// words name a need.
func (n need) words(fleet zoning.Fleet) string {
	if n.machine() == len(fleet) {
		return [...]string{"Closed to machines", "No elevation: not known", "No machine: leave or hand work"}[n.rest()]
	}
	name := text.OneLine(fleet[n.machine()].Name)
	switch {
	case n.machine() > 0:
		name = "Up to " + name
	case n.rest() == nothingElse:
		name += " alone"
	}
	return name + [...]string{"", ", part not known", ", part for no machine"}[n.rest()]
}

// ground is how lots of a need are drawn: in the colour and hatching of the machine,
// under the hatching of what is nobody's where there is some.
func (n need) ground(machines int) (palette.Ground, pattern, hatching) {
	band := n.machine()
	if band == machines {
		band += [...]int{palette.NoGo, palette.Unknown, palette.ForNone}[n.rest()]
	}
	g, p, h := palette.GroundOf(band, machines), patternOf(band, machines), hatchingOf(band, machines)
	if n.machine() == machines || n.rest() == nothingElse {
		return g, p, h
	}
	g.Hatch = palette.Ink
	if n.rest() == someForNone {
		return g, partPattern, partHatching
	}
	return g, dots, dotHatching
}

// Lots part of which is for no machine are cross-hatched twice as wide as ground for
// none, so that they are told apart in black and white too.
var (
	partPattern  = pattern{func(x, y float64) float64 { return min(off(x+y, 16), off(x-y, 16)) / math.Sqrt2 }, 0.75}
	partHatching = hatching{families: []family{lines(1, 1, 16), lines(1, -1, 16)}, widthPx: 1.5}
)

// Lots without a map are drawn as paper under a pattern that no band has.
var (
	failedGround   = palette.Ground{Tint: palette.Paper, Bare: palette.Paper, Hatch: palette.Ink, Lift: 0}
	failedPattern  = pattern{func(x, y float64) float64 { return spread(x, y, 24, saltire) }, 0.9}
	failedHatching = hatching{signs: askew(plusSign), period: 24, widthPx: 1.8}
)
