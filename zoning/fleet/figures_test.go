package fleet_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

var figureKeys = fleet.FigureKeys{LeftOver: []string{"mule"}, Machine: []string{"rate", "fuel"}, Job: []string{"day", "basis"}}

// Figures are handed out as they stand in the file, with their lines, and not read.
func TestFiguresOfAFile(t *testing.T) {
	machines, sections, err := fleet.ParseFigures("f", []byte(`machines:
  - {key: goat, name: Goats, limit: 40%}
job:
  basis: >-
    the books
    of last year
  day: 10
plan:
  mule: {fuel: none}
  goat: {}
`), figureKeys)
	require.NoError(t, err)
	assert.Equal(t, zoning.Fleet{{Key: "goat", Name: "Goats", LimitPct: 40, Basis: machines[0].Basis}}, machines)
	assert.Equal(t, []fleet.Section{
		{Figures: []fleet.Figure{{Key: "basis", Text: "the books of last year", Line: 4}, {Key: "day", Text: "10", Line: 7}}},
		{Machine: "mule", Figures: []fleet.Figure{{Key: "fuel", Text: "none", Line: 9}}},
		{Machine: "goat", Figures: []fleet.Figure{}},
	}, sections)
}

func TestFiguresRefused(t *testing.T) {
	for text, want := range map[string]string{
		"plan: 3\n":                                   "f:2: plan: does not hold machines; write a machine's key and a colon under it, and its figures below, set in",
		"plan:\n  goatt: {}\n":                        `f:3: plan: has figures of "goatt", which is no machine of this fleet; write the key that it has under machines: goat`,
		"plan:\n  sheep: {}\n":                        `f:3: plan: has figures of "sheep", which is no machine of this fleet; write the key that it has under machines: goat, mule`,
		"plan:\n  mule:\n    day: 1\n":                `f:4: "day" is not a key of the plan of mule; the keys here are rate, fuel`,
		"plan:\n  mule: {}\n  goat: {}\n  mule: {}\n": "f:5: mule is given a second time; the first is on line 3; keep one of the two",
		"job:\n  days: 1\n":                           `f:3: "days" is not a key of the job; did you mean day? acreband fleet prints a file that explains every key`,
		"job:\n  day: [1]\n":                          "f:3: day holds a list or a map; write one value after day:, in quotes if it begins with [ or {",
		"job: 3\n":                                    "f:2: the job does not hold lines of the form key: value; write day, basis, each followed by a colon and a space",
	} {
		machines, sections, err := fleet.ParseFigures("f", []byte("machines: [{key: goat, name: Goats, limit: 40%}]\n"+text), figureKeys)
		assert.EqualError(t, err, want)
		assert.Empty(t, machines)
		assert.Empty(t, sections)
	}
	_, _, err := fleet.ParseFigures("f", []byte("machines: [\n"), figureKeys)
	assert.ErrorContains(t, err, "f:1: this is not YAML: ")
	_, _, err = fleet.ReadFigures("no.yaml", figureKeys)
	assert.EqualError(t, err, "no.yaml: there is no such fleet file; check the path; acreband fleet prints a file to start from")
}

// A file is read once for both.
func TestReadFigures(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fleet.yaml")
	require.NoError(t, os.WriteFile(path, []byte("machines: [{key: goat, name: Goats, limit: 40%}]\njob: {day: 9h}\n"), 0o600))
	machines, sections, err := fleet.ReadFigures(path, figureKeys)
	require.NoError(t, err)
	assert.Len(t, machines, 1)
	assert.Equal(t, []fleet.Section{{Figures: []fleet.Figure{{Key: "day", Text: "9h", Line: 2}}}}, sections)
}
