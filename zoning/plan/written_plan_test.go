package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// numbered is a plan each of whose figures is one of a kind.
func numbered() *Plan {
	spread := func(v float64) Spread { return Spread{v, v + 0.5, v + 0.25} }
	return &Plan{
		GrossAcres: 101.5, NetAcres: 91.25, VerifyAcres: 7.0000004, ApartFt: 300, HandPerAcre: 3456,
		Options: []Option{{
			Goal: Cheapest, LeftAcres: 11.04, HandAcres: 3.25, LeftByHandUSD: 38001, ProductiveH: 121.5, ScheduledH: 162.25, MovingH: 5.125, SpanH: 170,
			WorkingDays: 17.5, CalendarDays: 28, CostUSD: 23456.25, PriceUSD: 34567.5,
			Productive: spread(100), Scheduled: spread(140), Days: spread(15), Cost: spread(20000), Price: spread(30123),
			Crew: []Brought{{Key: "a", Name: "A", Count: 2, NetAcres: 77.1, ProductiveH: 111.1, ScheduledH: 155.2, MovingH: 4.3, CostUSD: 12001, MovesUSD: 1302, ExtraPerAcreUSD: 403}},
			Tasks: []Task{
				{Piece: 3, Lot: "L", Zone: "Z", By: "a", NetAcres: 50.5, ProductiveH: 60, ScheduledH: 80.5, CostUSD: 9000.5},
				{Piece: 4, Lot: "L", Zone: "Z", By: "a", NetAcres: 26.6, ScheduledH: 74.7}, {Piece: 5, Zone: "Y", By: HandKey, NetAcres: 3.25}},
		}},
		ByCover:   []ByCover{{Cover: Heavy, Crew: []Brought{{Key: "b", Name: "B"}}, LeftAcres: 1.5, HandAcres: 9, ProductiveH: 22.5, ScheduledH: 33.25, WorkingDays: 4.5}},
		BreakEven: []BreakEven{{Key: "a", Name: "A", Ever: true, Acres: 9.994, OnlyAcres: 2.5, Against: "hand work"}, {Key: "b", Name: "B", OnlyAcres: 1, Against: "leaving it standing"}, {Key: "c", Name: "C", Ever: true, Acres: 10, Against: "hand work"}},
		RuledOut:  []RuledOut{{"d", "none is owned"}}, Permits: []Permit{{"a", "A travels"}},
		Excluded: []Excluded{{"no-go", 8.5, "closed"}}, Assumptions: []string{"as"}, Bases: []string{"ba"}, Notes: []string{"no"}, Cautions: []Caution{{"ca", "so"}},
	}
}

// Each figure of a plan stands under its own key, to six decimals.
func TestSummaryOfAPlan(t *testing.T) {
	text, err := json.Marshal(numbered())
	require.NoError(t, err)
	assert.JSONEq(t, `{
		"estimate": "an estimate from the figures given, not a quote", "net_acres": 91.25, "gross_acres": 101.5, "verify_acres": 7,
		"ladder": [], "recommended": "cheapest", "options": [{"goal": "cheapest",
			"crew": [{"machine": "a", "count": 2, "net_acres": 77.1, "productive_hours": 111.1, "scheduled_hours": 155.2, "moving_hours": 4.3,
				"work_usd": 12001, "moves_usd": 1302, "price_of_an_extra_acre_usd": 403}],
			"tasks": [{"piece": 3, "lot": "L", "zone": "Z", "by": "a", "net_acres": 50.5, "scheduled_hours": 80.5, "cost_usd": 9000.5},
				{"piece": 4, "lot": "L", "zone": "Z", "by": "a", "net_acres": 26.6, "scheduled_hours": 74.7, "cost_usd": 0},
				{"piece": 5, "zone": "Y", "by": "hand-work", "net_acres": 3.25, "scheduled_hours": 0, "cost_usd": 0}],
			"left_standing_acres": 11.04, "left_standing_by_hand_usd": 38001, "hand_work_acres": 3.25, "productive_hours": 121.5,
			"scheduled_hours": 162.25, "moving_hours": 5.125, "working_days": 17.5, "calendar_days": 28, "cost_usd": 23456.25, "price_usd": 34567.5,
			"ranges": {"productive_hours": {"p10": 100, "p50": 100.5, "p90": 100.25}, "scheduled_hours": {"p10": 140, "p50": 140.5, "p90": 140.25},
				"working_days": {"p10": 15, "p50": 15.5, "p90": 15.25}, "cost_usd": {"p10": 20000, "p50": 20000.5, "p90": 20000.25},
				"price_usd": {"p10": 30123, "p50": 30123.5, "p90": 30123.25}}}],
		"by_cover": [{"cover": "heavy", "crew": ["b"], "left_standing_acres": 1.5, "productive_hours": 22.5, "scheduled_hours": 33.25, "working_days": 4.5}],
		"break_even": [{"machine": "a", "pays_from_acres": 9.994, "acres_only_it_works": 2.5, "against": "hand work"},
			{"machine": "b", "pays_from_acres": null, "acres_only_it_works": 1, "against": "leaving it standing"},
			{"machine": "c", "pays_from_acres": 10, "acres_only_it_works": 0, "against": "hand work"}],
		"ruled_out": [{"machine": "d", "reason": "none is owned"}], "excluded": [{"zone": "no-go", "acres": 8.5, "why": "closed"}],
		"permits": ["A travels"], "keep_apart_ft": 300, "assumed": ["as"], "figures_from": ["ba"], "notes": ["no"], "cautions": [{"text": "ca", "source": "so"}]
	}`, string(text))
	assert.Equal(t, amount(1.234568), round(1.2345678))
}

// What is printed of a plan, to the figure.
func TestAnswerOfAPlan(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, numbered()))
	var lines []string
	for line := range strings.SplitSeq(b.String(), "\n") {
		if line = strings.Join(strings.Fields(line), " "); line != "" {
			lines = append(lines, line)
		}
	}
	assert.Equal(t, []string{
		"bring 2 × A. 80.2 of 91.2 net acres in 15 to 15.2 working days, for $30,100",
		"(the middle 80% of cases). An estimate, not a quote.",
		"machine, hours no. acres productive scheduled moving work moves",
		"a 2 77.1 111.1 155.2 4.3 $12,001 $1,302",
		"zone worked by pieces acres scheduled", "Z a 2 77.1 155.2", "Y hand-work 1 3.2 0.0",
		"if cover is bring left machine hours scheduled days", "heavy B 1.5 22.5 33.2 4.5",
		"left 11.0 acres stay standing; a hand crew would ask about $38,001", "by hand 3.2 acres, at $3,456 an acre",
		"calendar 28 calendar days for 17.5 working days, with days off and weather",
		"pays A, from 9.99 acres up, against hand work", "pays B: never on this ground, against leaving it standing", "pays C, from 10 acres up, against hand work",
		"ruled out d: none is owned", "excluded 8.5 acres no-go: closed",
		"note no", "basis ba", "assumed as", "caution ca (so)",
	}, lines)
}

// Figures as they are written, by hand.
func TestFiguresInWords(t *testing.T) {
	for v, want := range map[float64]string{0: "0.0", 0.04: "<0.1", 0.05: "0.1", 1234.56: "1,234.6", 999.94: "999.9", 1e6: "1,000,000.0"} {
		assert.Equal(t, want, acresText(wording{}, v))
	}
	for v, want := range map[float64]string{0: "0", 999.4: "999", 1000: "1,000", 12345: "12,300", 12351: "12,400", 999600: "1,000,000", 123456: "123,000"} {
		assert.Equal(t, want, roundMoney(v))
	}
	assert.Equal(t, []string{"12%", "12.5%", "0%"}, []string{percentText(0.12), percentText(0.125), percentText(0)})
	assert.Equal(t, []string{"3", "3.5"}, []string{text.Days(3), text.Days(3.5)})
	assert.Equal(t, []string{"-12,345", "-123", "-123,456", "123", "1,234,567.8"}, []string{text.Grouped(-12345, 0), text.Grouped(-123, 0), text.Grouped(-123456, 0), text.Grouped(123, 0), text.Grouped(1234567.8, 1)})
	assert.Equal(t, "no machine", crewText(nil))
}

// Each unit's most is taken, a tenth more is not; 0 where it means something.
func TestUnitsHoldTheirBounds(t *testing.T) {
	for _, c := range []struct {
		u    unit
		most float64 // as written
		zero bool
	}{
		{acresPerHour, 100, false}, {acresPerDay, 1000, false}, {perHour, 1e5, true}, {perMile, 1e4, true}, {perAcre, 1e6, true}, {money, 1e9, true},
		{pounds, 1e6, false}, {feet, 1000, false}, {inches, 1000, true}, {percent, 100, false}, {lossPercent, 90, true}, {addPercent, 500, true},
		{slopePercent, 200, true}, {miles, 5000, true}, {milesPerHour, 100, false}, {hours, 1000, true}, {dayHours, 24, false}, {days, 10000, false}, {weekDays, 7, false},
	} {
		write := func(v float64) string { return fmt.Sprintf("%s%.6f%s", c.u.before, v, c.u.after) }
		v, err := c.u.number(write(c.most))
		require.NoError(t, err, write(c.most))
		assert.InEpsilon(t, c.most*c.u.scale, v, 1e-12)
		_, err = c.u.number(write(c.most * 1.001))
		assert.ErrorContains(t, err, "is out of range", write(c.most*1.001))
		_, err = c.u.number(write(0))
		assert.Equal(t, c.zero, err == nil, write(0))
		if c.u.after != "" {
			_, err = c.u.number("1")
			assert.ErrorContains(t, err, "has no unit")
			_, err = c.u.number("1 furlong")
			assert.ErrorContains(t, err, "is not in the unit that is wanted")
		}
	}
	for text, want := range map[string]float64{"$2,500": 2500, "$ 2500": 2500, " $2500 ": 2500} {
		v, err := money.number(text)
		require.NoError(t, err)
		assert.Equal(t, want, v)
	}
	for _, text := range []string{"$-1", "$1e3", "$NaN", "$", "2500", "$0x10"} {
		_, err := money.number(text)
		assert.Error(t, err, text)
	}
	n, err := count("20", 20)
	require.NoError(t, err)
	assert.Equal(t, 20, n)
	for _, text := range []string{"21", "-1", "x", "1.5"} {
		_, err = count(text, 20)
		assert.Error(t, err, text)
	}
	r, err := percent.values("50%, 60%, 75%")
	require.NoError(t, err)
	assert.Equal(t, Range{0.5, 0.6, 0.75}, r)
	for _, text := range []string{"50%, 60%", "60%, 50%, 75%", "50%, 75%, 60%", "1%, 2%, 3%, 4%"} {
		_, err = percent.values(text)
		assert.Error(t, err, text)
	}
	_, err = inches.curve("100% at 4in, 60% at 4in")
	assert.ErrorContains(t, err, "does not rise")
}

// Where a machine pays, by hand: moves over what an acre saves, on the ground that only it
// works, or all of its ground; against hand work where that is the rest and costs less.
func TestBreakEvenByHand(t *testing.T) {
	figures := func(rate float64) *Figures {
		f := &Figures{HaulPerMile: 5, Loads: 1, WalkMPH: 3}
		f.Rate[Light] = Rate{fixed(rate), false}
		return f
	}
	p := &planner{job: &Job{HaulMiles: 10, Terms: Terms{WorthPerAcre: 4000}, StandingPerAcre: formerStandingPerAcre, Rest: Leave}, walk: []float64{0, 0},
		kinds: []kind{{fleet: 0, machine: zoning.Machine{Key: "a"}, figures: figures(1)}, {fleet: 1, machine: zoning.Machine{Key: "b"}, figures: figures(0.5)}},
		site:  &Site{Pieces: []Piece{{May: 3, NetAcres: 10, Cover: Light}, {May: 2, NetAcres: 3, Cover: Light}}}}
	p.v = valuesOf(ByRate{}, p.kinds, p.job, likeliest)
	p.v.productive, p.v.hand, p.v.truck = 1, 2500, 20
	for i := range p.v.machines {
		d := &p.v.machines[i]
		d.Machine, d.Obstacles, d.Finish = 100, 1, 1
	}
	check := func(with crew, want ...BreakEven) {
		t.Helper()
		got := p.breakEven(with)
		require.Len(t, got, len(want))
		for i, w := range want {
			assert.Equal(t, []any{w.Key, w.Ever, w.OnlyAcres, w.Against, w.Brought}, []any{got[i].Key, got[i].Ever, got[i].OnlyAcres, got[i].Against, got[i].Brought})
			assert.InDelta(t, w.Acres, got[i].Acres, 1e-9, w.Key)
		}
	}
	// An acre costs 120/h: $120 by a, $240 by b. Moves cost 2·10·5 = $100.
	standing := "what an acre is worth"
	check(crew{1, 1}, BreakEven{Key: "a", Brought: true, Ever: true, Acres: 100 / (4000 - 120.0), Against: standing},
		BreakEven{Key: "b", Brought: true, Ever: true, Acres: 100 / (4000 - 240.0), OnlyAcres: 3, Against: standing})
	check(crew{0, 0}, BreakEven{Key: "a", Ever: true, Acres: 100 / (4000 - 120.0), OnlyAcres: 10, Against: standing},
		BreakEven{Key: "b", Ever: true, Acres: 100 / (4000 - 240.0), OnlyAcres: 13, Against: standing})
	p.job.Rest = Hand
	check(crew{1, 0}, BreakEven{Key: "a", Brought: true, Ever: true, Acres: 100 / (2500 - 120.0), OnlyAcres: 10, Against: "hand work"},
		BreakEven{Key: "b", Ever: true, Acres: 100 / (2500 - 240.0), OnlyAcres: 3, Against: "hand work"})
	p.v.hand = 240
	check(crew{1, 0}, BreakEven{Key: "a", Brought: true, Ever: true, Acres: 100 / 120.0, OnlyAcres: 10, Against: "hand work"},
		BreakEven{Key: "b", OnlyAcres: 3, Against: "hand work"})
	p.v.hand = 5000
	assert.Equal(t, standing, p.breakEven(crew{0, 0})[0].Against, "hand work costs more")
	// Ground only one works costs by itself: b's own acres are slower than the mean.
	p.site.Pieces[1].SlopeMeanPct = 30
	p.kinds[1].figures.SlopeFactor = Curve{{0, 1}, {30, 0.5}}
	p.job.Rest = Leave
	check(crew{1, 1}, BreakEven{Key: "a", Brought: true, Ever: true, Acres: 100 / (4000 - 120.0), Against: standing},
		BreakEven{Key: "b", Brought: true, Ever: true, Acres: 100 / (4000 - 480.0), OnlyAcres: 3, Against: standing})
}

// The crews of two of one kind and one of another, the smaller first.
func TestCrews(t *testing.T) {
	assert.Equal(t, []crew{{0, 0}, {0, 1}, {1, 0}, {1, 1}, {2, 0}, {2, 1}}, crews([]kind{{owned: 2}, {owned: 1}}))
	assert.Equal(t, 3, crew{2, 1}.size())
	assert.Equal(t, []int{2, 1, 0}, []int{kindsOf(crew{2, 1}), kindsOf(crew{0, 3}), kindsOf(crew{0, 0})})
}

// What becomes of the rest is told with its price, and what is assumed without its basis.
func TestNotesOfAJob(t *testing.T) {
	j := &Job{Rest: Leave, StandingPerAcre: 4000, HandPerAcre: fixed(3500), Overhead: 0.12, Contingency: 0.1, Margin: 0.15, MinimumUSD: 2500}
	assert.Contains(t, notes(measure.US, j)[1], "stays standing, and costs nothing")
	assert.Contains(t, notes(measure.US, j)[2], "12% overhead and 10% contingency on it, 15% of the price as margin, and at least $2,500")
	j.Rest = Hand
	assert.Contains(t, notes(measure.US, j)[1], "goes to a hand crew at $3,500 an acre")
	var f figuresText
	f.note("fuel", "$1/h")
	f.note("basis", "memory")
	f.note("teeth", "$2/h")
	f.assume("memory")
	f.note("teeth", "$3/h")
	assert.Equal(t, "fuel $1/h", f.list(measure.US, []string{"fuel", "teeth", "basis", "machine"}))
	assert.Empty(t, f.ownBasis())
	f.note("basis", "my books")
	assert.Equal(t, "my books", f.ownBasis())
}
