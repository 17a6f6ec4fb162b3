package sheet

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// longBrief has more to say than there is room for, in names longer than a line.
func longBrief() *Brief {
	long := strings.Repeat("a name without end ", 12)
	zm := oneLot()
	zm.Lots[0].Lot = long
	zm.Sources = []terrain.Source{{Path: "folder/" + strings.Repeat("x", 120) + ".tif", CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "assumed"}}
	zm.Warnings = []string{"screening only, not for machines: " + long, "RAISED by J. Planner: track loader 40%. Reason given: " + long, long + "1", long + "2", long + "3"}
	zm.Cautions = []string{zoning.AccessNotChecked}
	zm.Otherwise = make([]float64, len(zm.Fleet.Bands()))
	ladder := make([]plan.Rung, 9)
	for i := range ladder {
		ladder[i] = plan.Rung{Acres: float64(100 * (i + 1)), ExtraPerAcreUSD: 1500 * float64(i)}
		ladder[i].Crew = []plan.Brought{{Key: "track-loader", Name: long, Count: i + 1}}
		ladder[i].WorkingDays, ladder[i].PriceUSD = 1234.5, 1e7
		ladder[i].Price = plan.Spread{P10: 9e6, P90: 2e7}
		ladder[i].Left = []plan.Left{{Why: zoning.NeedsMachineKey, Acres: 100}, {Why: plan.LeftByBudget, Acres: 20}, {Why: zoning.UnknownKey, Acres: 37}, {Why: zoning.NoMachineKey, Acres: 0.04}}
	}
	ladder[0].ExtraPerAcreUSD = math.NaN()
	return &Brief{Map: zm, Plan: &plan.Plan{NetAcres: 1200, Ladder: ladder, Recommended: 7, Why: long},
		Failed: 3, Read: []string{long, long, long}, Dir: long, Files: strings.Fields(long), Next: long}
}

// However much there is to say, a brief is 30 lines of 80 characters, and of what makes it
// void no reason is left out.
func TestBriefFits(t *testing.T) {
	b := longBrief()
	var out strings.Builder
	require.NoError(t, b.Write(&out))
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	assert.LessOrEqual(t, len(lines), BriefLines)
	for _, line := range lines {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), BriefWidth, line)
	}
	for _, s := range []string{"RAISED by J. Planner", "screening only", "heights are taken to be in meters", "access is not checked: give", "3 of 4 lots",
		"BRING", "> 8 × a name", "NOT CLEARED  157.0 acres: needs a machine not brought 100.0, over the budget", "DANGERS", "wrote", "NEXT"} {
		assert.Contains(t, out.String(), s)
	}
	assert.NotContains(t, out.String(), "\x1b", "no color was asked for")
}

// By hand: the recommended rung in a sentence, its row marked, an extra acre told of every
// rung but the first.
func TestBriefTellsTheLadder(t *testing.T) {
	zm := oneLot()
	rung := func(acres, price, extra float64, names ...string) plan.Rung {
		r := plan.Rung{Acres: acres, ExtraPerAcreUSD: extra, Left: []plan.Left{{Why: zoning.NeedsMachineKey, Acres: 1250.04 - acres}}}
		for _, name := range names {
			r.Crew = append(r.Crew, plan.Brought{Key: name, Name: name, Count: 1})
		}
		r.PriceUSD, r.WorkingDays, r.Price = price, 9.5, plan.Spread{P10: price - 100, P90: price + 200}
		return r
	}
	b := &Brief{Map: zm, Plan: &plan.Plan{NetAcres: 1250.04, Recommended: 1, Why: "An extra acre is worth $1,500.", Ladder: []plan.Rung{
		rung(800, 20000, math.NaN(), "Loader"), rung(900, 120000, 1000, "Loader", "Crawler"), rung(1000, 320000, 2000, "Boom")}}}
	var out strings.Builder
	require.NoError(t, b.Write(&out))
	got := out.String()
	assert.Contains(t, strings.Join(strings.Fields(got), " "),
		"BRING Loader, Crawler: 900.0 of 1,250.0 acres in 9.5 working days, $120,000 ($119,900 to $120,200 in 8 of 10 cases). An extra acre is worth $1,500.")
	assert.Contains(t, got, `
  crew               acres  days     price         10 to 90%  extra acre
  Loader             800.0   9.5   $20,000    $19,900-20,200
> Loader, Crawler    900.0   9.5  $120,000  $119,900-120,200      $1,000
  Boom             1,000.0   9.5  $320,000  $319,900-320,200      $2,000
`)
	assert.Contains(t, got, "NOT CLEARED  350.0 acres: needs a machine not brought 350.0\n")
}

// Color marks labels and the recommended row where it is asked for, and changes no word.
func TestBriefInColor(t *testing.T) {
	plain, colored := longBrief(), longBrief()
	colored.Color = true
	var a, b strings.Builder
	require.NoError(t, plain.Write(&a))
	require.NoError(t, colored.Write(&b))
	assert.Contains(t, b.String(), "\x1b[1;31mSTOP\x1b[0m")
	for _, code := range []string{bold, red, green, yellow, "0"} {
		out := strings.ReplaceAll(b.String(), "\x1b["+code+"m", "")
		b.Reset()
		b.WriteString(out)
	}
	assert.Equal(t, a.String(), b.String())
}

// A table that is too long shows rows around the one recommended, and counts the others.
func TestRungTableKeepsTheRecommended(t *testing.T) {
	table := rungTable{rows: [][]string{{"crew", "acres"}}, most: 4}
	for i := range 9 {
		table.rows = append(table.rows, []string{strings.Repeat("m", i+1), "1.0"})
	}
	ink := inks(false)
	for chosen := range 10 {
		table.chosen = chosen
		lines := table.lines(ink)
		assert.Len(t, lines, 4)
		assert.Equal(t, "  and 7 more: see details", lines[3])
		if chosen > 0 {
			assert.Contains(t, strings.Join(lines, "\n"), "> "+strings.Repeat("m", chosen)+" ")
		}
	}
}
