package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"iter"
	"math"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

var overviewFleet = []zoning.Machine{
	{Key: "track", Name: "Track loader", LimitPct: 30, Basis: "made up for the test"},
	{Key: "boom", Name: "Boom-mounted head", LimitPct: 35, Caution: "Boom out, it tips sooner."},
	{Key: "crawler", Name: "Remote crawler", LimitPct: 60},
}

// side is the side of the made lots, in degrees, and eachDeg how far their middles are.
const side, eachDeg = 0.0018, 0.002

// inARow are lots side by side, a metre being some 1e-5 degrees, from acres by band.
func inARow(acres ...[]float64) []OverviewLot {
	var out []OverviewLot
	for i, a := range acres {
		lot := OverviewLot{LotMap: lotOf(fmt.Sprintf("R%d", i+1), ofThree(a)...), Outline: squareAt(-84+eachDeg*float64(i), 36, side/2)}
		lot.Place = i + 1
		out = append(out, lot)
	}
	return out
}

// each goes through lots.
func each(lots []OverviewLot) iter.Seq2[OverviewLot, error] {
	return func(yield func(OverviewLot, error) bool) {
		for _, l := range lots {
			if !yield(l, nil) {
				return
			}
		}
	}
}

// summed is the overview of lots and what a run of them would tell.
func summed(lots []OverviewLot) (*Overview, Run) {
	o, c := NewOverview(overviewFleet), write.NewCollection(overviewFleet)
	for _, l := range lots {
		o.Add(l)
		if l.Failure == "" {
			c.Add(&zoning.ZoneMap{Fleet: overviewFleet, Lots: []zoning.LotMap{l.LotMap}, Cautions: zoning.Cautions(measure.US), Ground: zoning.Dry,
				Sources: []terrain.Source{{Path: "made.tif", CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "assumed"}}})
		}
	}
	return o, Run{Sum: c.Sum()}
}

func overviewPageOf(t testing.TB, lots []OverviewLot, changes ...func(*Run)) string {
	t.Helper()
	o, r := summed(lots)
	for _, change := range changes {
		change(&r)
	}
	var b bytes.Buffer
	require.NoError(t, o.WriteHTML(&b, r, each(lots)))
	return b.String()
}

func TestOverviewSaysWhichLotsAreEasy(t *testing.T) {
	lots := inARow([]float64{1}, []float64{0.5, 0.5}, []float64{0.98, 0, 0.02}, []float64{0.2, 0.2, 0.5, 0.1})
	lots[3].Zones[0].SureAcres = 0 // of 0.2 acres, and of 0.2 more
	lots[3].Zones[1].SureAcres = 0.1
	words := htmlWords([]byte(overviewPageOf(t, lots)))
	assert.Contains(t, words, "4 lots Track loader alone for 2 lots; 2 need more than that. 4 lots mapped, 4.00 acres. "+
		"1 lot has ground that counts and that no machine of the fleet may work. 1 lot is to be walked first: more than 25% of each is to be verified on foot.")
	assert.Contains(t, words, "Assumed: heights in meters (assumed). Were they in another unit, every zone would be wrong.")
	assert.Contains(t, words, "Track loader alone 2 lots, 2.00 acres Up to Boom-mounted head 1 lot, 1.00 acres Up to Remote crawler, part for no machine 1 lot, 1.00 acres")
	// Those that need most come first, and what is too little to count is in brackets.
	assert.Contains(t, words, "lot acres its ground Track loader Boom-mounted head Remote crawler Leave or hand work walk or sight first "+
		"Up to Remote crawler, part for no machine: 1 lot, 1.00 acres R4 1.00 0.20 0.20 0.50 0.10 walk 0.30 first "+
		"Up to Boom-mounted head: 1 lot, 1.00 acres R2 1.00 0.50 0.50 "+
		"Track loader alone: 2 lots, 2.00 acres R1 1.00 1.00 R3 1.00 0.98 (0.02)")
	// All of it is counted in the table.
	assert.Contains(t, words, "zone up to acres, dry share walk or sight first share Track loader 30% 2.68 67% 0.20 5% Boom-mounted head 35% 0.70 18% 0.10 2% "+
		"Remote crawler 60% 0.52 13% 0.00 0% Leave or hand work 0.10 2% 0.00 0% all lots 4.00 100% 0.30 8%")
	for _, says := range append(zoning.Cautions(measure.US), "Boom-mounted head: Boom out, it tips sooner.", "Track loader: made up for the test", caution) {
		assert.Contains(t, words, says)
	}
}

func TestOverviewLead(t *testing.T) {
	assert.Contains(t, overviewPageOf(t, inARow([]float64{1}, []float64{2})), "Track loader is enough for all 2 lots.")
	assert.Contains(t, overviewPageOf(t, inARow([]float64{0, 1})), "No lot is for Track loader alone: 1 needs more.")
}

// Lots that failed are told first, listed, drawn where there is room, and do not stretch
// the map.
func TestOverviewOfLotsThatFailed(t *testing.T) {
	lots := inARow([]float64{1}, nil, nil)
	lots[1].Failure, lots[2].Failure = "it has no elevation; give some", "it is elsewhere"
	lots[2].Outline = squareAt(10, 50, 0.1)
	page := overviewPageOf(t, lots)
	words := htmlWords([]byte(page))
	assert.Contains(t, words, "2 lots failed and have no map: see below, and failed.csv.")
	assert.Contains(t, words, "Lots without a map lot place why it has no map R2 2 it has no elevation; give some R3 3 it is elsewhere")
	assert.Contains(t, words, "No map: it failed 2 lots")
	assert.Contains(t, words, "1 lot without a map lie beyond this picture, or have no outline.")
	assert.NotContains(t, page, "left out")

	for i := range lots {
		lots[i].Failure = "all is lost"
	}
	words = htmlWords([]byte(overviewPageOf(t, lots[:2])))
	assert.Contains(t, words, "2 lots No lot could be mapped: all failed.")
	assert.Contains(t, words, "No lot was mapped.")
	assert.Contains(t, words, zoning.Cautions(measure.US)[0])
	for i := range lots {
		lots[i].Outline = nil
	}
	assert.Contains(t, overviewPageOf(t, lots), "No lot has a place that could be drawn.")
	assert.Contains(t, overviewPageOf(t, nil), "<h1>0 lots</h1>")
}

func TestOverviewOfRounds(t *testing.T) {
	lots := inARow([]float64{1, 0.01}, []float64{2})
	rounds := func(r *Run) {
		r.Cover = "light"
		r.Rounds = []Round{
			{Machine: "Track loader", Lots: 70, Acres: 3, Days: 2.5, RoundM: 5280 * 0.3048 * 4, AtLeastM: 5280 * 0.3048 * 3.2,
				Stops: []Stop{{Lot: "R1", Acres: 1, Days: 1}, {Lot: "R2", Acres: 2, Days: 1.5}}},
			{Machine: "Boom-mounted head", Lots: 1, Scraps: 1, Acres: 0.01, Days: 0.01, Stops: []Stop{{Lot: "R1", Acres: 0.01, Days: 0.01, Scrap: true}}},
		}
	}
	words := htmlWords([]byte(overviewPageOf(t, lots, rounds)))
	assert.Contains(t, words, "machine lots acres round, miles over the least, at most days Track loader 70 3.00 4.0 25% 2.5 Boom-mounted head 1 0.01 0.0 0% 0.0")
	assert.Contains(t, words, "Track loader Order of its 70 lots: R1 1.00 acres, 1.0 days R2 2.00 acres, 1.5 days and 68 lots: the whole order is in plan.csv (write plan.csv)")
	assert.Contains(t, words, "Order of its 1 lot, of 1 of which it has too little ground to count: R1 (0.01 acres, <0.1 days)")
	assert.Contains(t, words, "under light cover")
	words = htmlWords([]byte(overviewPageOf(t, lots, rounds, func(r *Run) { r.Cover = "" })))
	assert.Contains(t, words, "Days are not figured: nobody said what grows there. Say it with cover")
}

func TestWarningsOfOneKindAreToldOnce(t *testing.T) {
	assert.Equal(t, []string{"3 lots: half is steeper than 12% (and 2 more that differ in their figures: see lots.csv)", "a pond"},
		kindsOf([]string{"3 lots: half is steeper than 12%", "half is steeper than 7.5%", "a pond", "2 lots: half is steeper than 1,000%"}))
	var many []string
	for i := range 12 {
		many = append(many, "kind "+string(rune('a'+i)))
	}
	out := kindsOf(many)
	assert.Len(t, out, maxWarnings+1)
	assert.Equal(t, "4 more kinds of warnings: see lots.csv.", out[maxWarnings])
}

// Names come from strangers' files, and nothing is fetched or run.
func TestOverviewEscapesNames(t *testing.T) {
	lots := inARow([]float64{1}, []float64{0, 1}, nil)
	lots[0].Lot, lots[1].Lot, lots[2].Lot = hostile, `"><img src=x onerror=alert(2)>`, "\u202e</text></svg><script>alert(3)</script>"
	lots[0].Notes = []string{`<svg onload=alert(4)>`}
	lots[2].Failure = `</td><script>alert(5)</script>`
	page := overviewPageOf(t, lots, func(r *Run) {
		r.Rounds = []Round{{Machine: "<b>", Lots: 1, Stops: []Stop{{Lot: hostile}}}}
		r.Sum.Warnings = []string{"<script>alert(6)</script>"}
	})
	assert.NotContains(t, page, "<script")
	assert.NotContains(t, page, "<img")
	assert.NotContains(t, page, "\u202e")
	assert.NotRegexp(t, `<[^>]* on[a-z]+=`, regexp.MustCompile(`"[^"]*"`).ReplaceAllString(page, `""`))
	assert.NotRegexp(t, ` style="`, page)
	assert.NotRegexp(t, `(?i)(src|href)="(?:https?:)?//|url\(|@import`, page)
	assert.Contains(t, page, "default-src &#39;none&#39;")
	assert.NotContains(t, page, "unsafe")
	assert.NotRegexp(t, `(?i)\bsafe(ly)?\b`, htmlWords([]byte(page)))
	for _, svg := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1) {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else {
				require.NoError(t, err, svg)
			}
		}
	}
}

// A county's sheet is as long as a street's, and what is kept of a lot is small.
func TestOverviewOfManyLotsIsBounded(t *testing.T) {
	const n, across = 100_000, 316
	lotAt := func(i int) OverviewLot {
		acres := [][]float64{{1}, {0.5, 0.5}, {0.9, 0, 0, 0.1}}[i%3]
		l := OverviewLot{LotMap: lotOf(fmt.Sprintf("Lot %d", i), ofThree(acres)...), Outline: squareAt(-84+eachDeg*float64(i%across), 36-eachDeg*float64(i/across), side/2)}
		l.Place = i + 1
		if i%1000 == 999 {
			l.Failure = "none"
		}
		return l
	}
	heap := func() float64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc)
	}
	before := heap()
	o, c := NewOverview(overviewFleet), write.NewCollection(overviewFleet)
	for i := range n {
		o.Add(lotAt(i))
	}
	assert.Less(t, (heap()-before)/n, 80.0, "bytes for a lot")
	most := 0.0
	var b bytes.Buffer
	require.NoError(t, o.WriteHTML(&b, Run{Sum: c.Sum()}, func(yield func(OverviewLot, error) bool) {
		for i := range n {
			if i%25_000 == 0 {
				most = max(most, heap())
			}
			if !yield(lotAt(i), nil) {
				return
			}
		}
	}))
	assert.Less(t, most-before, 40e6, "bytes while it is drawn")
	assert.Less(t, b.Len(), 1_000_000, "bytes of the page")
	words := htmlWords(b.Bytes())
	assert.Contains(t, words, "and 33,260 lots that need less of it: the rest is in lots.csv")
	assert.Contains(t, words, "and 60 lots: the rest is in failed.csv")
	assert.Equal(t, 3*mostListed+mostListed, strings.Count(words, "Lot "))
	runtime.KeepAlive(o)
}

func TestOverviewListsThoseThatAskMost(t *testing.T) {
	var lots []OverviewLot
	for i := range 3 * mostListed {
		hard := 0.1 + 0.005*float64(i*37%(3*mostListed)) // all different, in no order
		lots = append(lots, inARow([]float64{1 - hard, hard})...)
	}
	o, _ := summed(lots)
	listed := o.groups[needOf(1, nothingElse)].listed
	require.Len(t, listed, mostListed)
	want := math.Inf(1)
	for _, l := range listed {
		assert.LessOrEqual(t, l.Zones[1].Acres, want+0.0051, "to the whole percent")
		assert.GreaterOrEqual(t, l.Zones[1].Acres, 0.1+0.005*(2*mostListed-1), "the rest asks for less")
		want = l.Zones[1].Acres
	}
}

// An error in reading lots again ends the sheet.
func TestOverviewStopsAtAnError(t *testing.T) {
	lots := inARow([]float64{1})
	o, r := summed(lots)
	torn := errors.New("torn")
	err := o.WriteHTML(io.Discard, r, func(yield func(OverviewLot, error) bool) { yield(OverviewLot{}, torn) })
	assert.ErrorIs(t, err, torn)
}

// ofThree are acres by band of three machines where those of no machine, unknown and closed
// come right after them: by limits no ground waits or needs a machine.
func ofThree(acres []float64) []float64 {
	if len(acres) <= 3 {
		return acres
	}
	return slices.Insert(slices.Clone(acres), 3, 0, 0)
}
