package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

func nan() float64 { return math.NaN() }

// A map without a part that a plan is made from is refused, whichever it is.
func TestAMapWithoutAPartIsRefused(t *testing.T) {
	none := func(g *mapping.Ground, m *zoning.ZoneMap) {
		t.Helper()
		assert.ErrorContains(t, fit(g, m, Light), "there is no ground or no map; give the ground and a map that was made of it")
	}
	m := &zoning.ZoneMap{Cells: &zoning.Cells{}, Field: &slope.Field{}}
	none(nil, m)
	none(&mapping.Ground{Site: &site.Ground{}}, m)
	none(&mapping.Ground{Elevation: &terrain.Elevation{}, Site: &site.Ground{}}, m)
	none(&mapping.Ground{Elevation: &terrain.Elevation{Grid: &terrain.Grid{}}}, m)
	whole := &mapping.Ground{Elevation: &terrain.Elevation{Grid: &terrain.Grid{}}, Site: &site.Ground{}}
	none(whole, nil)
	const cells = "the map is without the cells that its zones were cut from"
	assert.ErrorContains(t, fit(whole, &zoning.ZoneMap{Field: &slope.Field{}}, Light), cells)
	assert.ErrorContains(t, fit(whole, &zoning.ZoneMap{Cells: &zoning.Cells{}}, Light), cells)
	assert.ErrorContains(t, fit(whole, m, covers), "cover 5 is no class")
	assert.ErrorContains(t, fit(whole, m, Heavy), "the fleet has no machine")
	whole.Elevation.Grid.Z = []float32{1}
	assert.ErrorContains(t, fit(whole, m, Light), "the map has 0 × 0 cells and 1 are given")
	whole.Elevation.Grid.Z, m.Field.Squared = nil, []float32{1, 2}
	assert.ErrorContains(t, fit(whole, m, Light), "the map has 0 × 0 cells and 2 are given")
	m.Field.Squared, m.Cells.Masks = nil, []zoning.Mask{1, 2, 3}
	assert.ErrorContains(t, fit(whole, m, Light), "the map has 0 × 0 cells and 3 are given")
}

// A plan of which no rung is recommended has no map.
func TestPlansWithoutARungHaveNoMap(t *testing.T) {
	workers := map[pieceKey]Worker{{}: {Machine: 2}, {band: 1}: {Machine: 0}, {band: 2}: {Machine: -1}}
	for _, p := range []*Plan{nil, {Ladder: []Rung{{}}}, {workers: workers}, {workers: workers, Ladder: []Rung{{}}, Recommended: -1}, {workers: workers, Ladder: []Rung{{}}, Recommended: 1}} {
		_, err := Planned(t.Context(), nil, nil, p)
		assert.ErrorContains(t, err, "the plan has no crew")
	}
	p := &Plan{workers: workers, Ladder: []Rung{{}}}
	_, err := Planned(t.Context(), nil, nil, p)
	assert.ErrorContains(t, err, "there is no ground or no map")
	assert.Equal(t, zoning.Mask(0b101), p.atWork())
}

// noGoing is a cost model by which no machine works any ground.
type noGoing struct{ ByRate }

func (noGoing) Ease(*Figures, Piece) float64 { return 0 }

// The days of a machine are not known where its figures are not all given, or cannot be used.
func TestDaysThatAreNotKnown(t *testing.T) {
	days := func(change func(b *Book, f *Figures), c Cover) bool {
		b := Default()
		change(b, b.Machine("track-loader"))
		_, ok := b.Days("track-loader", c, 4, 10)
		return ok
	}
	as := func(*Book, *Figures) {}
	assert.True(t, days(as, Light))
	assert.True(t, days(as, Heavy-1))
	assert.False(t, days(as, covers))
	assert.False(t, days(as, CoverNotGiven))
	assert.False(t, days(func(_ *Book, f *Figures) { delete(f.text, "fuel") }, Light))
	assert.False(t, days(func(_ *Book, f *Figures) { f.Loads = 0 }, Light))
	assert.False(t, days(func(b *Book, _ *Figures) { b.Job.DayH = 25 }, Light))
	assert.False(t, days(func(_ *Book, f *Figures) { f.Rate[Light] = Rate{} }, Light))
	assert.False(t, days(func(b *Book, _ *Figures) { b.Cost = noGoing{} }, Light))
	d, ok := Default().Days("track-loader", Light, 4, 0)
	require.True(t, ok)
	twice, _ := Default().Days("track-loader", Light, 8, 0)
	assert.InEpsilon(t, 2*d, twice, 1e-12)
}

// Expected rates of all cover are those of the first option alone, of machines that work.
func TestRatesOfAPlan(t *testing.T) {
	rates := func(options ...Option) (out []float64) {
		for _, r := range ExpectedRates(&Plan{Options: options}, nil) {
			out = append(out, r.AcresPerHour)
		}
		return out
	}
	assert.Empty(t, rates())
	assert.Equal(t, []float64{2.5}, rates(Option{Crew: []Brought{{Key: "a", NetAcres: 5, ProductiveH: 2}, {Key: "b", NetAcres: 1}}}))
	assert.Equal(t, []float64{2.5}, rates(Option{Crew: []Brought{{Key: "a", NetAcres: 5, ProductiveH: 2}}}, Option{Crew: []Brought{{Key: "c", NetAcres: 9, ProductiveH: 2}}}))
}

// Hours by cover where cover is not given: who would come for each class, what by hand and
// what is left; nobody where a budget pays for nothing.
func TestHoursByCover(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 8, 6, CoverNotGiven), stand(0, 1.5, 90, Light)}}
	p, err := makeOf(t, s, "job", "rest", "hand")
	require.NoError(t, err)
	require.Len(t, p.ByCover, 4)
	assert.InDelta(t, 300, p.ApartFt, 1e-9, "where no head's thrown-object distance is given")
	for i, c := range Classes() {
		by := p.ByCover[i]
		assert.Equal(t, c, by.Cover)
		assert.Equal(t, []float64{0, 1.5}, []float64{by.LeftAcres, by.HandAcres}, c)
		require.Len(t, by.Crew, 1)
		assert.Equal(t, []float64{0, 0, 0}, []float64{by.Crew[0].CostUSD, by.Crew[0].MovesUSD, by.Crew[0].ExtraPerAcreUSD}, "no price")
		assert.InDelta(t, 8, by.Crew[0].NetAcres, 1e-9)
		assert.Positive(t, by.ProductiveH)
		assert.InDelta(t, by.Crew[0].ProductiveH, by.ProductiveH, 1e-9)
		assert.InDelta(t, by.Crew[0].ScheduledH, by.ScheduledH, 1e-9)
		assert.Greater(t, by.ScheduledH, by.ProductiveH)
		assert.InDelta(t, halfDays(by.ScheduledH+2*(30.0/45+0.75), 9), by.WorkingDays, 1e-9)
	}
	assert.Contains(t, p.Notes, "Cover is not given for all ground: hours for each class, and no price. Give it, in cover polygons of the site or for all ground, to get one.")
	p, err = makeOf(t, s, "job", "budget", "$5")
	require.NoError(t, err)
	require.Len(t, p.ByCover, 4)
	for _, by := range p.ByCover {
		assert.Empty(t, by.Crew)
		assert.InDelta(t, 9.5, by.LeftAcres, 1e-9)
	}
}

// Figures rise from low to likely to high; a bound is kept to the tenth.
func TestFiguresThatDoNotRise(t *testing.T) {
	for _, c := range []struct {
		r    Range
		want string
	}{
		{Range{0.5, 0.8, 0.9}, ""}, {Range{0.9, 0.8, 0.95}, "of: x has 0.9, 0.8 and 0.95 as low, likely and high; give numbers that rise"},
		{Range{0.5, 0.95, 0.9}, "of: x has 0.5, 0.95 and 0.9 as low, likely and high; give numbers that rise"},
		{Range{0.5, 0.8, 1.001}, "of: x is 1.001; give at most 1"}, {Range{0, 0.8, 1}, "of: x is 0; give a number above zero"}, {Range{0.5, 0.5, 1}, ""}, {Range{1, 1, 1}, ""},
		{Range{}, "of: x is 0; give a number above zero"},
	} {
		err := checkFigures("of", []figure{ranged("x", c.r, percent)})
		if c.want == "" {
			assert.NoError(t, err, "%v", c.r)
		} else {
			assert.EqualError(t, err, c.want)
		}
	}
	assert.NoError(t, checkFigures("of", []figure{ifGiven("x", 0, percent)}))
	assert.Error(t, checkFigures("of", []figure{ifGiven("x", -1, percent)}))
}

// A table of factors is refused for a factor, a point or a word that is none.
func TestTablesThatAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"100% at 10%, many at 30%": `"many" is not in the unit that is wanted`, "100% at 10%, 80% at 30in": `"30in" is not in the unit that is wanted`,
		"100% at 10%, 80% for 30%": `"100% at 10%, 80% for 30%" is not a table of factors`, "100% at 30%, 80% at 20%": `"100% at 30%, 80% at 20%" does not rise`,
		"0% at 10%": `"0%" must be above zero`, "101% at 10%": `"101%" is out of range; write at most 100%`,
	} {
		c, err := slopePercent.curve(text)
		assert.ErrorContains(t, err, want)
		assert.Nil(t, c)
	}
	c, err := slopePercent.curve("100% at 0%, 50% at 30%, 50% at 40%")
	require.NoError(t, err)
	assert.Equal(t, Curve{{0, 1}, {30, 0.5}, {40, 0.5}}, c)
}

// lastBroken is a cost model that is wrong for one machine alone.
type lastBroken struct {
	ByRate
	key string
}

func (m lastBroken) MoveUSD(d *Draw) float64 {
	if d.Figures.Key == m.key {
		return math.NaN()
	}
	return 1
}

// A cost model is asked for every machine, the last one too.
func TestACostModelIsAskedForEveryMachine(t *testing.T) {
	for _, key := range []string{"track-loader", "dedicated-carrier", "remote-crawler"} {
		book := Default()
		book.Cost = lastBroken{key: key}
		_, err := Make(&Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light)}}, fleet.Default(), book)
		assert.ErrorContains(t, err, "gives NaN dollars of moving for "+key)
	}
}

// Where hand work is what becomes of the rest and nobody says what an acre is worth, a
// machine is set against hands; without either it is set against nothing.
func TestWhatAMachineIsSetAgainst(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 8, 6, Light)}}
	against := func(edits ...string) (out []string) {
		p, err := makeOf(t, s, edits...)
		require.NoError(t, err)
		for _, b := range p.BreakEven {
			out = append(out, b.Key+": "+b.Against)
		}
		return out
	}
	assert.Empty(t, against())
	assert.Equal(t, []string{"track-loader: hand work"}, against("job", "rest", "hand"))
	assert.Equal(t, []string{"track-loader: what an acre is worth"}, against("job", "worth", "$900/ac"))
	assert.Equal(t, []string{"track-loader: what an acre is worth"}, against("job", "rest", "hand", "job", "worth", "$100/ac"))
	assert.Equal(t, []string{"track-loader: hand work"}, against("job", "rest", "hand", "job", "hand_work", "$800/ac", "job", "worth", "$9000/ac"))
	assert.Equal(t, []string{"track-loader: what an acre is worth"}, against(append([]string{"job", "rest", "hand", "job", "hand_work", "$800/ac", "job", "worth", "$800/ac"}, atCost...)...), "alike")

	// A machine that costs more for an acre never comes in another's place.
	s = &Site{Pieces: []Piece{stand(0b0011, 8, 6, Light)}}
	p, err := makeOf(t, s, "dedicated-carrier", "machine", "$900/h")
	require.NoError(t, err)
	require.Len(t, p.BreakEven, 1)
	assert.Equal(t, BreakEven{Key: "dedicated-carrier", Name: "Dedicated carrier", Against: "the Track loader in its place"}, p.BreakEven[0])
	// It is set against one that comes.
	q := planning(t, &Site{Pieces: []Piece{stand(0b0111, 8, 6, Light)}})
	for _, b := range q.breakEven(crew{0, 1, 0, 0}) {
		if !b.Brought {
			assert.Equal(t, "the Dedicated carrier in its place", b.Against, b.Key)
		}
	}
	// And works some of the same ground.
	q = planning(t, &Site{Pieces: []Piece{stand(0b0001, 8, 6, Light), stand(0b0110, 8, 6, Light)}})
	for _, b := range q.breakEven(crew{1, 1, 0, 0}) {
		if b.Key == "boom-head" {
			assert.Equal(t, "the Dedicated carrier in its place", b.Against)
		}
	}
	// Moved for less, and cheaper by the acre: from no acres on.
	p, err = makeOf(t, s, "dedicated-carrier", "machine", "$1/h", "dedicated-carrier", "haul_rate", "$0/mi", "dedicated-carrier", "handling", "0h", "dedicated-carrier", "permit", "$0",
		"dedicated-carrier", "operator", "$1/h", "job", "bring", "track-loader")
	require.NoError(t, err)
	require.Len(t, p.BreakEven, 1)
	assert.Equal(t, []any{true, 0.0, 0.0}, []any{p.BreakEven[0].Ever, p.BreakEven[0].Acres, p.BreakEven[0].OnlyAcres})
}
