package write

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// The table in the package comment is that of the lists: a property that is written and not
// told there, or told otherwise, fails here.
func TestThePackageCommentTellsEveryProperty(t *testing.T) {
	kinds := map[Kind]string{Text: "text", Whole: "whole", Number: "number", Nested: "nested"}
	var want []string
	list := func(layer string, all []Property) {
		want = append(want, "//\t"+layer)
		for _, p := range all {
			want = append(want, fmt.Sprintf("//\t  %-23s %-7s %s", p.Name, kinds[p.Kind], p.Words))
		}
	}
	list(ZonesLayer, ZoneProperties(measure.US))
	oneZone := slices.DeleteFunc(LotProperties(&zoning.ZoneMap{}), func(p Property) bool { return p.Name == "no_data_acres" || p.Name == "no_machine_acres" })
	for i, p := range oneZone {
		if p.Name == "no_go_acres" {
			oneZone[i].Name, oneZone[i].Words = "ZONE_acres", "acres of each zone"
		}
	}
	list(LotsLayer, oneZone)
	list(HazardsLayer, HazardProperties())
	list(SpotsLayer, SpotProperties())
	text, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	assert.Contains(t, string(text), strings.Join(want, "\n")+"\n", "the table belongs in doc.go")
	assert.Contains(t, string(text), fmt.Sprintf("# Properties, schema %d\n", zoning.Schema))
}

// A machine's key may be a word that another column has, and two keys may differ in what no
// column can tell: a table has each name once.
func TestColumnsOfZonesAreUnique(t *testing.T) {
	fleet := zoning.Fleet{{Key: "verify"}, {Key: "no-data"}, {Key: "a-b"}, {Key: "a_b"}, {Key: "Große 7"}, {Key: "x-verify"}, {Key: "growth-water"}}
	assert.Equal(t, []string{"verify_zone", "no_data_zone", "a_b_zone", "a_b", "gro_e_7", "x_verify_zone", "growth_water_zone",
		"needs_machine", "waits_dry", "no_machine", "no_data", "no_go"}, ZoneColumns(fleet))
	seen := map[string]bool{}
	for _, p := range LotProperties(&zoning.ZoneMap{Fleet: fleet, View: zoning.AsPlanned}) {
		assert.False(t, seen[p.Name], p.Name)
		seen[p.Name] = true
		assert.Regexp(t, "^[a-z0-9_]+$", p.Name)
	}
}
