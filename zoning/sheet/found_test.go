package sheet

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// What was found says by whom, of which project and how old it is; what a user's own file says nothing of stays unsaid.
func TestFoundText(t *testing.T) {
	found := terrain.Found{Service: "us-1m", Project: "A_2019", Published: "2020-01-02", Fetched: "2026-11-29"}
	assert.Equal(t, "found by us-1m, project A_2019, survey date not told, published 2020-01-02, fetched 2026-11-29", foundText(terrain.Source{Found: found}))
	assert.Equal(t, "found by us-1m, project A_2019, surveyed 2019-03-04, published 2020-01-02, fetched 2026-11-29", foundText(terrain.Source{Found: found, Surveyed: "2019-03-04"}))
	assert.Equal(t, "fetched 2026-11-29", foundText(terrain.Source{Found: terrain.Found{Fetched: "2026-11-29"}}))
	assert.Empty(t, foundText(terrain.Source{Path: "hill.tif", Surveyed: "2019"}))
	two := []terrain.Source{{Found: found}, {Found: found}}
	assert.Len(t, foundLines(two), 1)
}

// The sheet prints it.
func TestSheetPrintsWhatWasFound(t *testing.T) {
	zm := oneLot()
	zm.Sources = []terrain.Source{{Path: "x1.tif"}}
	zm.Sources[0].Found = terrain.Found{Service: "us-1m", Project: "A_2019", Published: "2020-01-02", Fetched: "2026-11-29"}
	var remarks bytes.Buffer
	require.NoError(t, Remarks(&remarks, zm))
	assert.Contains(t, remarks.String(), "project A_2019")
	p := Page{Map: zm}
	assert.Contains(t, p.elevation(totalsOf(zm)).Lines, "Found by us-1m, project A_2019, survey date not told, published 2020-01-02, fetched 2026-11-29.")
}
