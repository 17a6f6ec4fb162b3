package plan_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/plan"
)

// printed is the file that acreband fleet prints.
func printed() string { return string(fleet.DefaultYAML()) + "\n" + string(plan.DefaultYAML()) }

// planTwoAcres plans two acres that any machine of a fleet may work.
func planTwoAcres(t *testing.T, machines []zoning.Machine, book *plan.Book) *plan.Plan {
	t.Helper()
	p, err := plan.Make(&plan.Site{Pieces: []plan.Piece{{
		Zone: "zone", May: 1<<len(machines) - 1, GrossAcres: 2, NetAcres: 2, SlopeMeanPct: 7, Cover: plan.Medium,
	}}}, machines, book)
	require.NoError(t, err)
	return p
}

// A printed file that is handed back says nothing new: its figures are still nobody's.
func TestThePrintedFileSaysWhatTheDefaultsSay(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fleet.yaml")
	require.NoError(t, os.WriteFile(path, []byte(printed()), 0o600))
	machines, book, err := plan.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, fleet.Default(), machines)
	assert.Equal(t, planTwoAcres(t, machines, plan.Default()).Summary(), planTwoAcres(t, machines, book).Summary())
}

// What its owner changes is no assumption any more; what he says of it is printed.
func TestAnOwnersFigures(t *testing.T) {
	text := strings.Replace(printed(), "machine: $45/h, $55/h, $70/h", "machine: $60/h", 1)
	text = strings.Replace(text, "basis: planning default; from memory", "basis: our books of last year, else from memory", 1)
	machines, book, err := plan.Parse("f", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, plan.Range{Low: 60, Likely: 60, High: 60}, book.Machine("track-loader").Machine)
	p := planTwoAcres(t, machines, book)
	assert.Equal(t, []string{"track-loader: our books of last year, else from memory of common practice, no source"}, p.Bases)
	require.Len(t, p.Assumptions, 6)
	assert.True(t, strings.HasPrefix(p.Assumptions[0], "track-loader: rate_medium 0.2ac/h, 0.28ac/h, 0.4ac/h; slope_factor "), p.Assumptions[0])
	assert.NotContains(t, p.Assumptions[0], "machine $")
	assert.NotContains(t, p.Assumptions[0], "rate_light", "no ground has that cover")
	assert.Contains(t, p.Assumptions[1], "machine $120/h, $145/h, $180/h")
	assert.Equal(t, "these of track-loader, dedicated-carrier, boom-head, remote-crawler, job: planning default; from memory of common practice, no source", p.Assumptions[5])
}

// A machine of one's own has the figures that one gives, and without any it is ruled out.
func TestAMachineOfOnesOwn(t *testing.T) {
	const goat = "machines:\n  - key: goat\n    name: Goats\n    limit: 40%\n"
	machines, book, err := plan.Parse("f", []byte(goat))
	require.NoError(t, err)
	assert.Equal(t, []plan.RuledOut{{Key: "goat", Reason: "no rates and costs are given: write them under plan: goat"}}, planTwoAcres(t, machines, book).RuledOut)
	machines, book, err = plan.Parse("f", []byte(goat+`plan:
  goat:
    rate_medium: 0.1ac/h
    machine: $10/h
    operator: $30/h
    fuel: $0/h
    teeth: $0/h
    haul_rate: $2/mi
    handling: 0.5h
    walk_speed: 3mph
job:
  haul_miles: 0mi
  support_truck: $0/h
  productive: 50%
`))
	require.NoError(t, err)
	// By hand: 2 acres at 0.1 ac/h are 20 hours, 40 of the day, and an hour of moving.
	p := planTwoAcres(t, machines, book)
	require.Len(t, p.Assumptions, 2, "of the job alone")
	assert.True(t, strings.HasPrefix(p.Assumptions[0], "job: haul_speed 45mph; "), p.Assumptions[0])
	o := p.Options[0]
	assert.InDelta(t, 20, o.ProductiveH, 1e-9)
	assert.InDelta(t, 40*(10+30)+2*0.5*30, o.CostUSD, 1e-6)
}

func TestParseRefuses(t *testing.T) {
	const head = "machines:\n  - {key: goat, name: Goats, limit: 40%}\n"
	for text, want := range map[string]string{
		"plan:\n  goatt:\n    owned: 1\n":                     `f:4: plan: has figures of "goatt", which is no machine of this fleet; write the key that it has under machines: goat`,
		"plan:\n  goat:\n    owned: many\n":                   `f:5: owned: "many" is not a whole number from 0 to 14; write how many there are, such as 1`,
		"plan:\n  goat:\n    machine: 60\n":                   `f:5: machine: "60" has no unit; write it with its unit, such as $95/h`,
		"plan:\n  goat:\n    fuel: $9/h, $8/h, $7/h\n":        `f:5: fuel: "$9/h, $8/h, $7/h" does not rise from low to likely to high; write the lowest figure first`,
		"plan:\n  goat:\n    owned: 1\n  goat:\n    loads: 1": `f:6: goat is given a second time; the first is on line 4; keep one of the two`,
		"plan: none\n":          `f:3: plan: does not hold machines; write a machine's key and a colon under it, and its figures below, set in`,
		"job:\n  dayz: 3\n":     `f:4: "dayz" is not a key of the job; did you mean day? acreband fleet prints a file that explains every key`,
		"job:\n  margin: 95%\n": `f:4: margin: "95%" is out of range; write at most 90%`,
	} {
		_, _, err := plan.Parse("f", []byte(head+text))
		assert.EqualError(t, err, want)
	}
	_, _, err := plan.Parse("f", nil)
	assert.ErrorContains(t, err, "the fleet file is empty")
	_, _, err = plan.ReadFile("no.yaml")
	assert.ErrorContains(t, err, "no.yaml: there is no such fleet file")
}

// The figures of machines that were taken out of the list may stay in the file.
func TestFiguresLeftOver(t *testing.T) {
	text := "machines:\n  - {key: track-loader, name: Loader, limit: 30%}\n" + string(plan.DefaultYAML())
	machines, book, err := plan.Parse("f", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, "track-loader", planTwoAcres(t, machines, book).Options[0].Crew[0].Key)
}

// As many machines as there may be, each with every figure, are far from too many tokens.
func TestParseAFullPlan(t *testing.T) {
	var text strings.Builder
	text.WriteString("machines:\n")
	for i := range zoning.MaxMachines {
		fmt.Fprintf(&text, "  - {key: m%d, name: M, limit: %d%%}\n", i, 20+i)
	}
	text.WriteString("plan:\n")
	figures := strings.SplitAfter(strings.SplitN(string(plan.DefaultYAML()), "  track-loader:\n", 2)[1], "source\n")[0]
	for i := range zoning.MaxMachines {
		fmt.Fprintf(&text, "  m%d:\n%s", i, figures)
	}
	_, book, err := plan.Parse("f", []byte(text.String()))
	require.NoError(t, err)
	assert.Equal(t, 0.28, book.Machine("m13").Rate[plan.Medium].Likely)
}
