package plan

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// fixed is a figure that is known.
func fixed(v float64) Range { return Range{v, v, v} }

// Days lost to weather make a job longer and a window shorter. By hand: 9 days of work
// where one in ten is lost take 10 working days, two weeks of five; a window of 28 days
// holds 20 working days, 18 of them fair.
func TestWeatherTakesDaysFromTheWindowAndAddsThemToTheJob(t *testing.T) {
	j := &Job{WeekDays: 5, Weather: fixed(0.1)}
	assert.InDelta(t, 14, j.calendarDays(9, 0.1), 1e-9)
	assert.InDelta(t, 12.6, j.calendarDays(9, 0), 1e-9)
	assert.InDelta(t, 25.2, j.calendarDays(9, 0.5), 1e-9)
	assert.True(t, math.IsInf(j.windowWorkingDays(), 1), "no window")
	j.WindowDays = 28
	assert.InDelta(t, 18, j.windowWorkingDays(), 1e-9)
	// 2 to 29 March are 28 days, the first and the last among them.
	day := func(d int) time.Time { return time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC) }
	j.WindowDays, j.Start, j.End = 0, day(2), day(29)
	assert.InDelta(t, 18, j.windowWorkingDays(), 1e-9)
	j.WindowDays = 14
	assert.InDelta(t, 9, j.windowWorkingDays(), 1e-9, "the shorter of the two")
	j.WindowDays, j.End = 280, day(2)
	assert.InDelta(t, 1.0*5/7*0.9, j.windowWorkingDays(), 1e-9)
	j.End = time.Time{}
	assert.InDelta(t, 180, j.windowWorkingDays(), 1e-9, "a start alone is no window")
	j.WindowDays, j.Start, j.End = 0, time.Time{}, day(2)
	assert.True(t, math.IsInf(j.windowWorkingDays(), 1), "nor is an end")
}

// Overhead and contingency come on the cost, the margin is a share of the price; no job
// is charged less than the least price, none at all nothing.
func TestPrice(t *testing.T) {
	j := &Job{Overhead: 0.12, Contingency: 0.10, Margin: 0.15, MinimumUSD: 2500}
	assert.InDelta(t, 10000*1.12*1.1/0.85, j.Price(10000), 1e-9)
	assert.Equal(t, 2500.0, j.Price(100))
	assert.Zero(t, j.Price(0))
	assert.Equal(t, 1.0, (&Job{}).markup())
}

// Hours are rounded up to half days of work, and rounding in the arithmetic to none.
func TestHalfDays(t *testing.T) {
	for h, want := range map[float64]float64{0: 0, 0.1: 0.5, 5: 0.5, 5.01: 1, 10: 1, 10.001: 1.5, 29.999: 3, 5.0000000001: 0.5} {
		assert.Equal(t, want, halfDays(h, 10), "%g h", h)
	}
	assert.False(t, math.Signbit(roundedUp(-1e-12)))
}

// Moving is there and back, loads and handling each way, with its operator's hours; a
// permit is for each load and way.
func TestMovingByHand(t *testing.T) {
	book := &Book{Job: Job{HaulMiles: 30, HaulMPH: 45}}
	f := Figures{Key: "a", HaulPerMile: 4, Loads: 2, HandlingH: 0.75, PermitUSD: 60, Owned: 1, WidthFt: 8.5, GrossLb: 80000}
	f.Rate[Light] = Rate{fixed(1), false}
	for _, k := range neededKeys {
		f.note(k, "given")
	}
	book.Machines = []*Figures{&f}
	come := func() kind {
		kinds, out := whichMayCome(measure.US, []zoning.Machine{{Key: "a", Name: "A"}}, book)
		require.Empty(t, out)
		return kinds[0]
	}
	movesUSD := func(k kind) float64 {
		v := valuesOf(ByRate{}, []kind{k}, &book.Job, likeliest)
		v.machines[0].Operator = 40
		return v.movesUSD(0)
	}
	k := come()
	moveH := 2 * (30.0/45 + 2*0.75)
	assert.InDelta(t, moveH, k.moveH, 1e-9)
	assert.Empty(t, k.permit, "at the limits of the road")
	usd := 2*2*30*4 + moveH*40
	assert.InDelta(t, usd, movesUSD(k), 1e-9)
	f.WidthFt = 8.51
	assert.Equal(t, "travels 8.51 ft wide: over 8.5 ft", come().permit)
	assert.InDelta(t, usd+2*2*60, movesUSD(come()), 1e-9)
	f.GrossLb = 80001
	assert.Equal(t, "travels 8.51 ft wide and at 80,001 lb: over 8.5 ft and 80,000 lb", come().permit)
	f.WidthFt = 8.5
	assert.Equal(t, "travels at 80,001 lb: over 80,000 lb", come().permit)

	// What just fits comes; what nobody knows of does not where it matters.
	book.Job.BridgeLb, book.Job.GateFt = 80001, 8.5
	come()
	for want, change := range map[string]func(){
		"its load weighs 80,001 lb and the bridge is posted for 80,000 lb": func() { book.Job.BridgeLb = 80000 },
		"it is 8.5 ft wide and the gate 8.4 ft":                            func() { book.Job.GateFt = 8.4 },
		"its gross weight is not given, and a bridge has a posted weight":  func() { f.GrossLb = 0 },
		"its width is not given, and there is a gate":                      func() { f.WidthFt = 0 },
		"none is owned": func() { f.Owned = 0 },
		"its walk_speed is not given: write it under plan: a":                                       func() { delete(f.text, "walk_speed") },
		"its rate_open, rate_light, rate_medium or rate_heavy is not given: write it under plan: a": func() { f.Rate[Light] = Rate{} },
	} {
		wasJob, wasFigures := book.Job, f
		f.figuresText = f.clone()
		change()
		_, out := whichMayCome(measure.US, []zoning.Machine{{Key: "a", Name: "A"}}, book)
		require.Len(t, out, 1, want)
		assert.Equal(t, want, out[0].Reason)
		book.Job, f = wasJob, wasFigures
	}
	book.Job.BridgeLb, book.Job.GateFt, f.GrossLb, f.WidthFt = 0, 0, 0, 0
	come()
	_, out := whichMayCome(measure.US, []zoning.Machine{{Key: "b"}}, book)
	assert.Equal(t, []RuledOut{{"b", "no rates and costs are given: write them under plan: b"}}, out)
}

// One piece for one machine, by the formulas of the package's doc: 3 acres at 0.5 ac/h,
// half of it left by slope, 80% by stems, 90% by obstacles, 95% by the finish.
func TestLoadByHand(t *testing.T) {
	k := kind{figures: &Figures{SlopeFactor: Curve{{10, 1}, {30, 0.5}}, StemFactor: Curve{{2, 1}, {6, 0.6}}, WalkMPH: 2}}
	v := values{cost: ByRate{}, productive: 0.75, machines: []Draw{{Obstacles: 0.9, Finish: 0.95, Machine: 55, Operator: 40, Fuel: 18, Teeth: 10}}}
	v.machines[0].AcresPerHour[Medium] = 0.5
	p := Piece{May: 1, NetAcres: 3, SlopeMeanPct: 30, StemIn: 4, Cover: Medium}
	w, ok := v.load(0, k, p, 804.672) // half a mile
	require.True(t, ok)
	productive := 3 / (0.5 * 0.5 * 0.8 * 0.9 * 0.95)
	assert.InDelta(t, 3/(0.5*0.8), w.acres, 1e-9)
	assert.InDelta(t, 0.25, w.walkH, 1e-9)
	assert.InDelta(t, productive, w.productive, 1e-9)
	assert.InDelta(t, productive/0.75+0.25, w.scheduled, 1e-9)
	assert.InDelta(t, (productive/0.75+0.25)*95+productive*28, w.usd, 1e-9)
	p.StemIn = 0
	assert.InDelta(t, 0.5, ByRate{}.Ease(k.figures, p), 1e-9, "stems that nobody knows cost nothing")
	for name, change := range map[string]func(p *Piece){
		"another cover": func(p *Piece) { p.Cover = Heavy }, "another's": func(p *Piece) { p.May = 2 },
		"no-go": func(p *Piece) { p.May |= zoning.NoGo }, "unknown": func(p *Piece) { p.May |= zoning.Unknown },
	} {
		q := p
		change(&q)
		_, ok := v.load(0, k, q, 0)
		assert.False(t, ok, name)
	}
}

// Curves are level beyond their ends and straight between.
func TestCurve(t *testing.T) {
	c := Curve{{12, 1}, {20, 0.85}, {30, 0.7}}
	for x, want := range map[float64]float64{0: 1, 12: 1, 16: 0.925, 20: 0.85, 25: 0.775, 30: 0.7, 90: 0.7} {
		assert.InDelta(t, want, c.At(x), 1e-12, "%g", x)
	}
	assert.Equal(t, 1.0, Curve(nil).At(50))
}

// A tally by hand: two machines of one kind share 30 scheduled hours, another kind has 8;
// all lie in areas of which the second takes one at a time for 21 hours.
func TestTallyByHand(t *testing.T) {
	job := &Job{HaulMiles: 10, DayH: 10, WeekDays: 5}
	p := &planner{job: job, kinds: []kind{
		{figures: &Figures{HaulPerMile: 3, Loads: 1}, moveH: 2}, {figures: &Figures{HaulPerMile: 5, Loads: 1}, moveH: 3}},
		areas: areas{room: []float64{2, 1}}}
	tally := &tally{p: p, crew: crew{2, 1}, handAcres: 1.5, longMoveH: 3, spentMoveH: 7}
	// Rate 1 ac/h, productive half of the time: 2 scheduled hours an acre.
	tally.add(work{kind: 0, cover: Light, area: 0, sure: 6, verify: 2, walkH: 1})
	tally.add(work{kind: 0, cover: Light, area: 1, sure: 6, walkH: 1})
	tally.add(work{kind: 1, cover: Light, area: 1, sure: 3, walkH: 0.75})
	tally.add(work{kind: 1, cover: Light, area: 1, sure: 0.5, walkH: 0.25})
	require.Len(t, tally.works, 3, "work of one kind, cover and area is one")
	v := values{cost: ByRate{}, productive: 0.5, verify: 1, truck: 25, hand: 3000, weather: 0.2,
		machines: []Draw{{Machine: 50, Operator: 40, Fuel: 20, Teeth: 10}, {Machine: 100, Operator: 45, Fuel: 30, Teeth: 15}}}
	for i := range v.machines {
		d := &v.machines[i]
		d.Figures, d.Job, d.MoveH, d.Obstacles, d.Finish = p.kinds[i].figures, job, p.kinds[i].moveH, 1, 1
		d.AcresPerHour[Light] = 1
	}
	got := tally.at(v)
	assert.InDelta(t, 17.5, got.productiveH, 1e-9)
	assert.InDelta(t, 17+13+8, got.scheduledH, 1e-9)
	// Kind 0: 30/2 = 15; area 0: 17/2; area 1: 13 + 8 = 21 by one machine.
	assert.InDelta(t, 21, got.workH, 1e-9)
	assert.InDelta(t, 24, got.spanH, 1e-9)
	assert.InDelta(t, 2.5/0.8*7/5, got.calendarDays, 1e-9, "24 h are two days and a half")
	kind0, kind1 := 30*90+14*30.0, 8*145+3.5*45.0
	moves := 2*(2*10*3+2*40.0) + (2*10*5 + 3*45.0)
	assert.InDelta(t, kind0, got.byKind[0].usd, 1e-9)
	assert.InDelta(t, kind1, got.byKind[1].usd, 1e-9)
	assert.InDelta(t, kind0+kind1+moves+21*25+1.5*3000, got.costUSD, 1e-9)

	v.verify = 2 // ground to be verified takes twice its hours
	assert.InDelta(t, 19.5, tally.at(v).productiveH, 1e-9)
	tally.p.areas.room[1] = 2
	assert.InDelta(t, 17, tally.at(v).workH, 1e-9, "34 h of two machines of a kind")
}
