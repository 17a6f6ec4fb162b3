package plan

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// spaced is text with its runs of spaces and line ends as one space.
func spaced(s string) string { return strings.Join(strings.Fields(s), " ") }

// Areas have one decimal of acres, two of hectares, none where cells are too coarse; widths
// and weights stand in the units of the reader: 10 ft are 3.05 m, 100 lb 45.36 kg.
func TestMeasuresInWords(t *testing.T) {
	us, metric := wording{units: measure.US}, wording{units: measure.Metric}
	assert.Equal(t, []string{"12.3", "12", "4.98"}, []string{acresText(us, 12.3), acresText(wording{whole: true}, 12.3), acresText(metric, 12.3)})
	assert.Equal(t, []string{"12.3 acres", "4.98 hectares"}, []string{areaText(us, 12.3), areaText(metric, 12.3)})
	assert.Equal(t, []string{"$1,000", "$2,471"}, []string{"$" + perAreaText(measure.US, 1000), "$" + perAreaText(measure.Metric, 1000)})
	assert.Equal(t, []string{"8.5 ft", "3.05 m"}, []string{widthText(measure.US, 8.5), widthText(measure.Metric, 10)})
	assert.Equal(t, []string{"80,000 lb", "36,287 kg", "7 lb"}, []string{weightText(measure.US, 80000), weightText(measure.Metric, 80000), weightText(measure.US, 7.4)})
	assert.Equal(t, []string{"999", "1,000", "1,230", "12,300"}, []string{roundMoney(999), roundMoney(1000), roundMoney(1234), roundMoney(12345)})
	assert.Equal(t, "A, 2 × B", crewText([]Brought{{Name: "A", Count: 1}, {Name: "B", Count: 2}}))
	assert.Equal(t, []string{"9.99", "10", "0.05"}, []string{breakEvenText(9.99), breakEvenText(10), breakEvenText(0.05)})
	assert.Equal(t, []string{"3", "3 to 4"}, []string{fromTo("3", "3"), fromTo("3", "4")})
}

// Lists of nothing are not written, and of one crew no row beside the sentence.
func TestWhatIsNotThereIsNotWritten(t *testing.T) {
	var b strings.Builder
	writeCrew(&b, wording{}, Option{})
	writeByCover(&b, wording{}, nil)
	writeTasks(&b, wording{}, Option{})
	writeOptions(&b, nil)
	writeOptions(&b, []Option{{Goal: Cheapest}})
	writeLadder(&b, &Plan{})
	assert.Empty(t, b.String())
	var answer bytes.Buffer
	require.NoError(t, WriteAnswer(&answer, &Plan{NetAcres: 4.5}))
	assert.Equal(t, "bring it depends on the cover, which is not given for all of 4.5 net acres: hours for each class, and no price. An estimate, not a quote.", spaced(answer.String()))
	answer.Reset()
	require.NoError(t, WriteAnswer(&answer, &Plan{NetAcres: 4.5, Options: []Option{{LeftAcres: 4.5, LeftByHandUSD: 1200}}}))
	assert.Contains(t, spaced(answer.String()), "bring no machine: all of 4.5 net acres stay standing. An estimate, not a quote. left 4.5 acres stay standing; a hand crew would ask about $1,200 calendar 0 calendar days")
	answer.Reset()
	require.NoError(t, WriteAnswer(&answer, &Plan{NetAcres: 4.5, HandPerAcre: 3000, Options: []Option{{HandAcres: 4.5, Price: Spread{13500, 13500, 13500}, Days: Spread{0, 0, 0}}}}))
	assert.Contains(t, spaced(answer.String()), "bring no machine. 4.5 of 4.5 net acres in 0 working days, for $13,500")
	assert.Contains(t, spaced(answer.String()), "by hand 4.5 acres, at $3,000 an acre")
	assert.NotContains(t, answer.String(), "stay standing")
	answer.Reset()
	require.NoError(t, WriteAnswer(&answer, &Plan{BreakEven: []BreakEven{{Name: "A", Against: "b"}}}))
	assert.Contains(t, spaced(answer.String()), "pays A: never on this ground, against b")
}

// Crews beside the recommended one stand in a table, and who they are below it.
func TestOtherCrewsAreWritten(t *testing.T) {
	var b strings.Builder
	writeOptions(&b, []Option{
		{Goal: Cheapest, Also: []Goal{Fewest}, WorkingDays: 3, Days: Spread{2.5, 3, 4}, PriceUSD: 9876, Price: Spread{8765, 9000, 12345}, Crew: []Brought{{Name: "A", Count: 1}}},
		{Goal: Soonest, WorkingDays: 2, Days: Spread{1.5, 2, 2.5}, PriceUSD: 11000, Price: Spread{10000, 11000, 14000}, Crew: []Brought{{Name: "A", Count: 1}, {Name: "B", Count: 2}}},
	})
	assert.Equal(t, "of those that clear as much days (10 to 90%) price (10 to 90%) "+
		"cheapest, fewest machines 3 (2.5 to 4) $9,876 ($8,770 to $12,300) soonest 2 (1.5 to 2.5) $11,000 ($10,000 to $14,000) soonest: A, 2 × B", spaced(b.String()))
}

// The rungs of a ladder, the recommended one named; a ladder of which none is recommended
// tells what the first leaves for dry ground.
func TestRungsAreWritten(t *testing.T) {
	first := Rung{Option: Option{Crew: []Brought{{Name: "A", Count: 1}}, WorkingDays: 2, PriceUSD: 3000, Price: Spread{2500, 3000, 4000}}, Acres: 6, ExtraPerAcreUSD: nan(),
		Left: []Left{{zoning.WaitsDryKey, 2}, {"a key of an embedder's", 1}}, Waits: []Waiting{{"a", "A", 2}}}
	second := Rung{Option: Option{Crew: []Brought{{Name: "B", Count: 1}}, WorkingDays: 3, PriceUSD: 5000, Price: Spread{4500, 5000, 6000}}, Acres: 8, ExtraPerAcreUSD: 1000}
	write := func(at int) string {
		var b strings.Builder
		writeLadder(&b, &Plan{Ladder: []Rung{first, second}, Recommended: at})
		return spaced(b.String())
	}
	const table = "rung acres working days price (10 to 90%) each extra acre 1 6.0 2 $3,000 ($2,500 to $4,000) 2 8.0 3 $5,000 ($4,500 to $6,000) $1,000 "
	const left = "; leaves 2.0 ac waits for dry ground, 1.0 ac a key of an embedder's "
	assert.Equal(t, table+"rung 1 A"+left+"rung 2 B (recommended)", write(1))
	assert.Equal(t, table+"rung 1 A (recommended)"+left+"rung 2 B wet 2.0 acres wait for dry ground: A works them then", write(0))
	assert.Equal(t, table+"rung 1 A"+left+"rung 2 B wet 2.0 acres wait for dry ground: A works them then", write(-1))
	second.Goal = AsAsked
	assert.Equal(t, table+"rung 1 A"+left+"rung 2 B (as asked)", write(1))
	one := (&Plan{Ladder: []Rung{first}}).Summary()
	require.NotNil(t, one.Rung)
	assert.Equal(t, 0, *one.Rung)
	assert.Equal(t, []waitingSummary{{"a", 2}}, one.Ladder[0].Waits)
}

// Notes of a job: the key that worth replaces is told of where its owner wrote it, and not
// where it is a default's.
func TestNotesOfTheKeyThatWorthReplaces(t *testing.T) {
	j := &Job{StandingPerAcre: 900}
	count := len(notes(measure.US, j))
	j.note("left_standing", "$900/ac")
	require.Len(t, notes(measure.US, j), count+1)
	assert.Equal(t, "left_standing: is replaced by worth:, and understood as worth: $900/ac where that is not written.", notes(measure.US, j)[count])
	j.assume("nobody's")
	assert.Len(t, notes(measure.US, j), count)
	for _, c := range []struct{ worth, standing, want float64 }{{0, 900, 900}, {0, formerStandingPerAcre, 0}, {500, 900, 500}, {500, formerStandingPerAcre, 500}, {0, 0, 0}} {
		assert.Equal(t, c.want, (&Job{Terms: Terms{WorthPerAcre: c.worth}, StandingPerAcre: c.standing}).worth())
	}
}

// Ground without elevation is told with the greater of what the map and the plan have of it.
func TestGroundWithoutElevationIsTold(t *testing.T) {
	for _, c := range []struct {
		sign, excluded float64
		want           string
	}{{2, 3, "3.0 acres have no elevation data"}, {4, 3, "4.0 acres have no elevation data"}} {
		p := &planner{site: &Site{Signs: Signs{NoElevationAcres: c.sign}}}
		plan := &Plan{Excluded: []Excluded{{zoning.NoGoKey, 9, ""}, {zoning.UnknownKey, c.excluded, ""}}}
		p.caution(plan)
		require.Len(t, plan.Cautions, 1)
		assert.Contains(t, plan.Cautions[0].Text, c.want)
	}
}

// Machines that are brought and do not handle the thickest stems: of ground that they may
// work, from a thousandth of an acre on.
func TestStemsThatAreTooThick(t *testing.T) {
	inch := zoning.MetresPerFoot / 12
	s := &Site{Pieces: []Piece{
		{May: 1, NetAcres: 2, ThickestIn: 8.5}, {May: 1, NetAcres: 1.5, ThickestIn: 14}, {May: 1, NetAcres: 10, ThickestIn: 8},
		{May: 1 | zoning.NoGo, NetAcres: 20, ThickestIn: 30}, {May: 2, NetAcres: 40, ThickestIn: 30}}}
	p := &planner{site: s, kinds: []kind{
		{fleet: 0, machine: zoning.Machine{Key: "a", Name: "A", StemM: 8 * inch}},
		{fleet: 1, machine: zoning.Machine{Key: "b", Name: "B"}}}}
	const told = "A handles stems of 8 in, and some on 3.5 acres that it may work are up to 14 in"
	assert.Equal(t, []string{told}, p.thickStems(map[string]bool{"a": true, "b": true}), "what B handles nobody said")
	assert.Empty(t, p.thickStems(map[string]bool{"b": true}))
	s.Pieces = []Piece{{May: 1, NetAcres: 0.001, ThickestIn: 9}}
	assert.Len(t, p.thickStems(map[string]bool{"a": true}), 1)
	s.Pieces[0].NetAcres = 0.0009
	assert.Empty(t, p.thickStems(map[string]bool{"a": true}))
}
