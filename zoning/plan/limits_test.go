package plan_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// rough is a site of random pieces.
func rough(seed uint64, n int) *plan.Site {
	r := rand.New(rand.NewPCG(seed, 3))
	s := &plan.Site{GapM: far}
	for range n {
		p := piece(zoning.Mask(r.IntN(16)), 0.1+8*r.Float64()*r.Float64(), 40*r.Float64(), plan.Cover(1+r.IntN(4)))
		p.EastM, p.NorthM = 2000*r.Float64(), 2000*r.Float64()
		s.Pieces = append(s.Pieces, p)
	}
	return s
}

// top is the acres of the last rung; 0 without one.
func top(p *plan.Plan) float64 {
	if len(p.Ladder) == 0 {
		return 0
	}
	return p.Ladder[len(p.Ladder)-1].Acres
}

// More money never does less, and the budget is of the price.
func TestMoreBudgetNeverDoesLess(t *testing.T) {
	for seed := range uint64(8) {
		before := 0.0
		for usd := 2500; usd <= 60000; usd += 2500 {
			p := planOf(t, rough(seed, 8), "job", "budget", fmt.Sprintf("$%d", usd), "job", "least_work", "0days")
			assert.GreaterOrEqual(t, top(p), before-1e-6, "seed %d, $%d", seed, usd)
			for _, r := range p.Ladder {
				assert.LessOrEqual(t, r.PriceUSD, float64(usd)+0.01)
			}
			before = top(p)
		}
	}
}

// More days never do less, and no rung takes more working days than it may, as they are
// printed: a plan of eight days said nine once.
func TestMoreDaysNeverDoLess(t *testing.T) {
	for seed := range uint64(8) {
		before, reached := 0.0, false
		for days := 1.0; days <= 40; days += 2.5 {
			p := planOf(t, rough(seed, 8), "job", "days", fmt.Sprintf("%gdays", days), "job", "least_work", "0days")
			assert.GreaterOrEqual(t, top(p), before-1e-6, "seed %d, %g days", seed, days)
			for _, r := range p.Ladder {
				assert.LessOrEqual(t, r.WorkingDays, days)
				assert.LessOrEqual(t, r.SpanH, days*10+1e-6)
				reached = reached || r.WorkingDays == days
			}
			before = top(p)
		}
		assert.True(t, reached, "days that are allowed are used")
	}
}

// A window counts calendar days, and no plan prints more of them than it has.
func TestWindowsAreOfTheCalendar(t *testing.T) {
	for seed := range uint64(4) {
		for days := 3; days <= 40; days += 4 {
			for _, r := range planOf(t, rough(seed, 8), "job", "window", fmt.Sprintf("%ddays", days)).Ladder {
				assert.LessOrEqual(t, r.CalendarDays, float64(days), "seed %d", seed)
				assert.LessOrEqual(t, r.WorkingDays, float64(days)*5/7*0.9)
			}
		}
	}
}

// A machine fewer never lowers the least price of an acre, nor adds acres.
func TestRemovingAMachineNeverHelps(t *testing.T) {
	for seed := range uint64(8) {
		site := rough(seed, 8)
		with := planOf(t, site, "job", "least_work", "0days")
		for _, m := range machines() {
			without := planOf(t, site, m.Key, "owned", "0", "job", "least_work", "0days")
			require.Contains(t, without.RuledOut, plan.RuledOut{Key: m.Key, Reason: "none is owned"})
			assert.LessOrEqual(t, top(without), top(with)+1e-9)
			a, b := with.Ladder[0], without.Ladder[0]
			assert.GreaterOrEqual(t, b.PriceUSD/b.Acres, a.PriceUSD/a.Acres*(1-1e-3))
		}
	}
}

// The rows keep their promises against each other: each clears as much as the recommended
// one, no row is cheaper than the cheapest, sooner than the soonest or smaller than that of
// fewest machines, and no two are of one crew with one use.
func TestOptionsSideBySide(t *testing.T) {
	rows := 0
	for seed := range uint64(12) {
		p := planOf(t, rough(seed, 10), "track-loader", "owned", "2", "job", "worth", fmt.Sprintf("$%d/ac", 1000+500*seed))
		of := map[plan.Goal]plan.Option{}
		for _, o := range p.Options {
			for _, g := range append(o.Also, o.Goal) {
				of[g] = o
			}
		}
		require.Len(t, of, 3)
		rows += len(p.Options)
		count := func(o plan.Option) (n int) {
			for _, b := range o.Crew {
				n += b.Count
			}
			return n
		}
		assert.Equal(t, p.Ladder[p.Recommended].Tasks, p.Options[0].Tasks)
		for _, o := range p.Options {
			assert.LessOrEqual(t, o.LeftAcres, p.Options[0].LeftAcres+1e-3)
			assert.GreaterOrEqual(t, o.PriceUSD, of[plan.Cheapest].PriceUSD*(1-1e-9))
			assert.GreaterOrEqual(t, o.WorkingDays, of[plan.Soonest].WorkingDays)
			assert.GreaterOrEqual(t, count(o), count(of[plan.Fewest]))
			acres := 0.0
			for _, task := range o.Tasks {
				acres += task.NetAcres
			}
			assert.InDelta(t, p.NetAcres, acres, 1e-6, "every acre has somebody or nobody")
		}
	}
	assert.Greater(t, rows, 15)
}

// A machine comes for the acres at which the plan says that it pays, and not for less.
func TestBreakEvenIsWhereTheChoiceTurns(t *testing.T) {
	site := func(acres float64) *plan.Site {
		return &plan.Site{GapM: far, Pieces: []plan.Piece{
			piece(loader, 10, 10, plan.Light), piece(crawler, acres, 45, plan.Medium)}}
	}
	// Without a support truck a machine's ground costs the same beside others.
	edits := []string{"job", "support_truck", "$0/h", "job", "least_work", "0days", "job", "worth", fmt.Sprintf("$%.6f/ac", 4000*1.12*1.1/0.85)}
	var at float64
	for _, b := range planOf(t, site(0.1), edits...).BreakEven {
		if b.Key == "remote-crawler" {
			require.True(t, b.Ever)
			at = b.Acres
		}
	}
	// By hand: 2 × 30 mi × $3 and 2 × (30/45 + 0.5) h of operator against $4000 less
	// what an acre costs at 0.12 ac/h, a sixth on from 65% at 50% to 100% at 20% on 45%.
	an := 1 / (0.12 * (0.65 + 0.35/6))
	assert.InDelta(t, (180+2*(30.0/45+0.5)*88)/(4000-(an/0.75*(45+88)+an*(9+7))), at, 1e-9)
	assert.Equal(t, []string{"track-loader"}, keys(planOf(t, site(at*0.999), edits...).Options[0]))
	assert.Equal(t, []string{"track-loader", "remote-crawler"}, keys(planOf(t, site(at*1.001), edits...).Options[0]))
}

func TestSiteLimitsRuleOut(t *testing.T) {
	site := &plan.Site{Pieces: []plan.Piece{piece(all, 100, 6, plan.Light)}}
	p := planOf(t, site, "job", "bridge", "36,000lb", "job", "gate", "8ft", "remote-crawler", "width", "6ft")
	assert.Equal(t, []plan.RuledOut{
		{Key: "track-loader", Reason: "it is 8.5 ft wide and the gate 8 ft"},
		{Key: "dedicated-carrier", Reason: "its load weighs 75,000 lb and the bridge is posted for 36,000 lb"},
		{Key: "boom-head", Reason: "its load weighs 70,000 lb and the bridge is posted for 36,000 lb"},
	}, p.RuledOut)
	assert.Equal(t, []string{"remote-crawler"}, keys(p.Options[0]))

	// Over 8.5 ft or 80 000 lb, from memory; the state's rule governs.
	assert.Equal(t, []plan.Permit{{"dedicated-carrier", "Dedicated carrier travels 9.5 ft wide: over 8.5 ft"}, {"boom-head", "Boom-mounted head travels 9 ft wide: over 8.5 ft"}}, planOf(t, site).Permits)
	heavy := planOf(t, site, "dedicated-carrier", "gross_weight", "80001lb", "dedicated-carrier", "width", "8.5ft", "boom-head", "width", "8.5ft")
	assert.Equal(t, []plan.Permit{{"dedicated-carrier", "Dedicated carrier travels at 80,001 lb: over 80,000 lb"}}, heavy.Permits)
}

// Changing one cost changes the plan where arithmetic says so: the carrier gives way
// to the loader above the rate at which both cost alike.
func TestOneCostTurnsTheChoice(t *testing.T) {
	site := &plan.Site{Pieces: []plan.Piece{piece(loader|carrier, 20, 6, plan.Light)}}
	loaderUSD := 20/0.45*((55+48+25)/0.75+28) + 240 + 2*(30.0/45+0.75)*48
	moves := 2*(1020+120) + 2*(30.0/45+2)*48
	alike := (loaderUSD-moves-20*65)/(20/0.75) - 48 - 25
	below := planOf(t, site, "dedicated-carrier", "machine", fmt.Sprintf("$%.2f/h", alike-0.5))
	above := planOf(t, site, "dedicated-carrier", "machine", fmt.Sprintf("$%.2f/h", alike+0.5))
	assert.Equal(t, []string{"dedicated-carrier"}, keys(below.Options[0]))
	assert.Equal(t, []string{"track-loader"}, keys(above.Options[0]))
}

func TestHandWork(t *testing.T) {
	site := &plan.Site{GapM: far, Pieces: []plan.Piece{piece(loader, 10, 10, plan.Light), piece(0, 0.5, 120, plan.Light)}}
	left, hand := planOf(t, site).Options[0], planOf(t, site, "job", "rest", "hand").Options[0]
	assert.InDelta(t, 0.5, left.LeftAcres, 1e-9)
	assert.InDelta(t, 1750, left.LeftByHandUSD, 1e-6)
	assert.InDelta(t, 0.5, hand.HandAcres, 1e-9)
	assert.InDelta(t, left.CostUSD+1750, hand.CostUSD, 1e-6)
}

// Cover not given: a range of hours and no price.
func TestCoverNotGiven(t *testing.T) {
	site := &plan.Site{Pieces: []plan.Piece{piece(all, 37, 7, plan.CoverNotGiven)}}
	p := planOf(t, site)
	assert.Empty(t, p.Options)
	assert.Empty(t, p.BreakEven)
	require.Len(t, p.ByCover, 4)
	for i, rate := range []float64{0.6, 1.0, 0.6} { // the loader on open ground, and the carrier
		assert.InDelta(t, 37/rate, p.ByCover[i].ProductiveH, 1e-9)
	}
	assert.Equal(t, plan.CoverNotGiven, site.Pieces[0].Cover, "the site is not changed")
}

func TestMakeRefuses(t *testing.T) {
	for _, c := range []struct {
		change func(*plan.Piece)
		want   string
	}{
		{func(p *plan.Piece) { p.NetAcres = 3 }, "piece 1 (zone) has 3 net acres and 2 gross; net acres are a part of the gross"},
		{func(p *plan.Piece) { p.GrossAcres = -1 }, "piece 1 (zone) has -1 gross acres; give a number of zero or more"},
		{func(p *plan.Piece) { p.VerifyAcres = 2.5 }, "piece 1 (zone) has 2.5 acres to verify of 2 net; they are a part of the net acres"},
		{func(p *plan.Piece) { p.May = 16 }, "piece 1 (zone) may be worked by a machine that the fleet does not have; hand over the fleet of the map"},
	} {
		p := piece(all, 2, 7, plan.Medium)
		c.change(&p)
		_, err := plan.Make(&plan.Site{Pieces: []plan.Piece{p}}, machines(), plan.Default())
		assert.EqualError(t, err, c.want)
	}
	_, err := plan.Make(&plan.Site{}, machines(), &plan.Book{})
	assert.EqualError(t, err, "the job has no haul_miles; add a line haul_miles: under job:")
	book := plan.Default()
	require.NoError(t, book.Machine("track-loader").Set("owned", "12"))
	_, err = plan.Make(&plan.Site{}, machines(), book)
	assert.EqualError(t, err, "15 machines to choose from are more than 14; lower owned: to what may come to this job")
}

// A site without work, and one that no machine may come to, have plans too.
func TestNothingToDo(t *testing.T) {
	p := planOf(t, &plan.Site{})
	assert.Empty(t, p.Options[0].Crew)
	assert.Zero(t, p.Options[0].CostUSD)
	site := &plan.Site{Pieces: []plan.Piece{piece(all, 2, 7, plan.Medium), piece(zoning.NoGo, 1, 0, plan.CoverNotGiven)}}
	p = planOf(t, site, "job", "bridge", "3000lb")
	assert.InDelta(t, 2, p.Options[0].LeftAcres, 1e-9)
	assert.Equal(t, []plan.Excluded{{Zone: "no-go", Acres: 1, Why: "closed to machines"}}, p.Excluded)
}

// BenchmarkMake plans 12 machines and 500 zones with everything on it: both kinds of
// time limits, areas, ranges.
func BenchmarkMake(b *testing.B) {
	r := rand.New(rand.NewPCG(9, 9))
	book := plan.Default()
	var crew []zoning.Machine
	var figures []*plan.Figures
	for i := range 12 {
		f := *book.Machines[i%4]
		f.Key = fmt.Sprint("m", i)
		f.Machine.Likely, f.Machine.High = f.Machine.Likely+float64(i), f.Machine.High+float64(i)
		f.WidthFt = 8
		crew, figures = append(crew, zoning.Machine{Key: f.Key, Name: f.Key, LimitPct: 30}), append(figures, &f)
	}
	book.Machines = figures
	site := &plan.Site{}
	for range 500 {
		p := piece(zoning.Mask(r.IntN(1<<12)), 0.1+8*r.Float64()*r.Float64(), 40*r.Float64(), plan.Cover(1+r.IntN(4)))
		p.EastM, p.NorthM = 5000*r.Float64(), 5000*r.Float64()
		site.Pieces = append(site.Pieces, p)
	}
	site.GapM = func(a, b int) float64 {
		p, q := site.Pieces[a], site.Pieces[b]
		return max(0, ((p.EastM-q.EastM)*(p.EastM-q.EastM)+(p.NorthM-q.NorthM)*(p.NorthM-q.NorthM))/400)
	}
	for _, limit := range [][2]string{{"window", "9999days"}, {"window", "40days"}, {"window", "120days"}, {"budget", "$150,000"}} {
		b.Run(limit[0]+" "+limit[1], func(b *testing.B) {
			limited := book.Clone()
			require.NoError(b, limited.Job.Set(limit[0], limit[1]))
			for b.Loop() {
				p, err := plan.Make(site, crew, limited)
				require.NoError(b, err)
				b.ReportMetric(float64(len(p.Ladder)), "rungs")
			}
		})
	}
}
