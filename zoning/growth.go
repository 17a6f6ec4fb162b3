package zoning

import (
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
)

// Growth is the height of what grows on the lots, as a first surface shows it over
// the ground and cover that was drawn has it: the greater counts.
type Growth struct {
	Sources  []terrain.Source // the rasters of the first surface
	Surveyed string           // when it was measured; "" where that is not known
	How      string           // how it was set against the ground, in words

	Lots []GrowthAcres // of each of the map's lots

	// Cover is the classes of cover that its heights propose: of each zone, by its band's key, acres from the least growth to the
	// most. Bands are those by limits. See [CoverWords].
	Cover map[string][CoverClasses]float64
}

// CoverClasses is how many classes of cover heights propose: open, light, medium, heavy.
const CoverClasses = 4

// CoverWords names the classes that heights propose, from the least growth to the most.
func CoverWords() [CoverClasses]string {
	return [CoverClasses]string{"open", "light", "medium", "heavy"}
}

// CoverTotal sums the proposed classes over all zones.
func (g *Growth) CoverTotal() (sum [CoverClasses]float64) {
	for _, key := range slices.Sorted(maps.Keys(g.Cover)) { // always in one order: sums of acres hang on it
		for class, acres := range g.Cover[key] {
			sum[class] += acres
		}
	}
	return sum
}

// GrowthAcres are a lot's acres by height of growth.
type GrowthAcres struct {
	ByClass [GrowthClasses]float64
	Unknown float64 // where the height is not known; it holds no machine back
	Water   float64 // left out
}

// GrowthClasses is how many classes of height there are.
const GrowthClasses = 4

// growthClasses are the classes of height, each up to and without its end in feet
// (planning values, no source).
var growthClasses = [GrowthClasses]struct {
	belowFt       float64
	key, words    string
	keyCm, wordsM string // in metric
}{
	{3, "under_3_ft", "under 3 ft", "under_91_cm", "under 0.9 m"},
	{10, "3_to_10_ft", "3 to 10 ft", "91_to_305_cm", "0.9 to 3.0 m"},
	{25, "10_to_25_ft", "10 to 25 ft", "305_to_762_cm", "3.0 to 7.6 m"},
	{math.Inf(1), "over_25_ft", "25 ft and over", "over_762_cm", "7.6 m and over"},
}

// GrowthClassOf finds the class of a height in metres; -1 where it is not known.
func GrowthClassOf(heightM float64) int {
	for i, c := range growthClasses {
		if heightM < c.belowFt*MetresPerFoot {
			return i
		}
	}
	return -1
}

// GrowthClassWords names a class for people.
func GrowthClassWords(u measure.Units, class int) string {
	return u.Either(growthClasses[class].words, growthClasses[class].wordsM)
}

// GrowthClassKey names a class in files.
func GrowthClassKey(u measure.Units, class int) string {
	return u.Either(growthClasses[class].key, growthClasses[class].keyCm)
}

// Total sums over the lots.
func (g *Growth) Total() GrowthAcres {
	var t GrowthAcres
	for _, lot := range g.Lots {
		t.add(lot)
	}
	return t
}

func (a *GrowthAcres) add(more GrowthAcres) {
	for i, acres := range more.ByClass {
		a.ByClass[i] += acres
	}
	a.Unknown += more.Unknown
	a.Water += more.Water
}

// With adds the growth on other lots, which count as one with those before. It was
// measured when the oldest was, which is not known where that of any is not.
func (g *Growth) With(more *Growth) *Growth {
	switch {
	case more == nil:
		return g
	case g == nil:
		return &Growth{Sources: slices.Clone(more.Sources), Surveyed: more.Surveyed, How: more.How, Lots: []GrowthAcres{more.Total()}, Cover: maps.Clone(more.Cover)}
	}
	for _, s := range more.Sources {
		if !slices.ContainsFunc(g.Sources, func(o terrain.Source) bool { return o.Path == s.Path }) {
			g.Sources = append(g.Sources, s)
		}
	}
	g.Surveyed = min(g.Surveyed, more.Surveyed)
	if !slices.Contains(strings.Split(g.How, "; "), more.How) {
		g.How += "; " + more.How
	}
	g.Lots[0].add(more.Total())
	for key, acres := range more.Cover {
		if g.Cover == nil {
			g.Cover = map[string][CoverClasses]float64{}
		}
		sum := g.Cover[key]
		for class := range acres {
			sum[class] += acres[class]
		}
		g.Cover[key] = sum
	}
	return g
}

// GrowthCautions returns what every output that speaks of the height of growth must
// say.
func GrowthCautions() []string {
	return []string{
		"Height of growth is the least it can be: leaf-off or old flights miss brush, and it has grown since. Look at it on foot.",
		"Height of growth is not stem size: what stands low may be thick, and a dead tree shows little of its height. Roofs read as growth.",
	}
}
