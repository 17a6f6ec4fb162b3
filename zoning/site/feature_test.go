package site_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/units"
)

// said gives attributes written as "name=Pond, setback=50ft".
func said(text string) func(string) string {
	values := map[string]string{}
	for _, pair := range strings.Split(text, ", ") {
		if key, v, ok := strings.Cut(pair, "="); ok {
			values[key] = v
		}
	}
	return func(a string) string { return values[a] }
}

func TestKindOf(t *testing.T) {
	for word, want := range map[string]site.Kind{
		"no-go": site.NoGo, "NO GO": site.NoGo, "nogo": site.NoGo, "soft": site.SoftGround, "Soft_ground": site.SoftGround,
		"leave tree": site.LeaveTree, "selective clearing": site.Selective, "Power line": site.OverheadLine,
		"overhead-line": site.OverheadLine, "Houses": site.Building, "leave_trees": site.LeaveTree, "roads": site.Road, "building": site.Building, "road": site.Road,
		"path": site.Path, "Trail": site.Path, " cover ": site.Cover, "staging": site.Staging, "travel": site.Travel,
		"gate": site.Gate, "bridge": site.Bridge,
	} {
		k, known := site.KindOf(word)
		assert.True(t, known, word)
		assert.Equal(t, want, k, word)
	}
	for _, word := range []string{"", "s", "no", "gully", "no--go"} {
		_, known := site.KindOf(word)
		assert.False(t, known, word)
	}
	assert.Equal(t, "no-go, soft, leave-tree, selective, overhead-line, building, road, path, cover, staging, travel, ground, gate, bridge, water, railway, pipeline, tower, cliff, people", site.Kinds())
}

func TestDescribe(t *testing.T) {
	for _, c := range []struct {
		kind site.Kind
		text string
		want site.Feature
	}{
		{site.NoGo, "name=Pond, setback=50ft", site.Feature{Name: "Pond", Setback: site.Setback{WidthM: 15.24}}},
		{site.NoGo, "setback=filter-strip", site.Feature{Setback: site.Setback{Rule: rule(t, "filter-strip")}}},
		{site.SoftGround, "bears=40kPa", site.Feature{BearsKPa: 40}},
		{site.OverheadLine, "kv=115kV", site.Feature{KV: 115}},
		{site.OverheadLine, "", site.Feature{}},
		{site.OverheadLine, "kv=1100kV, setback=60ft", site.Feature{KV: 1100, Setback: site.Setback{WidthM: 18.288}}},
		{site.Cover, "class=Heavy, stem=0.2m, tall=9m, stems=300/ac", site.Feature{Class: site.Heavy, StemM: 0.2, TallM: 9, StemsPerAcre: 300}},
		{site.Gate, "width=4m", site.Feature{WidthM: 4}},
		{site.Bridge, "weight=10000kg", site.Feature{WeightKg: 10000}},
		// A county's table has columns of its own.
		{site.Road, "name=Mill Road, class=residential, width=24, weight=5", site.Feature{Name: "Mill Road"}},
	} {
		got, err := site.Describe(c.kind, said(c.text))
		require.NoError(t, err, c.text)
		c.want.Kind = c.kind
		assert.Equal(t, c.want, got, c.text)
	}
}

func TestDescribeRefuses(t *testing.T) {
	for _, c := range []struct {
		kind       site.Kind
		text, want string
	}{
		{site.NoGo, "setback=50", `setback "50" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m, or a rule: kentucky-for-69`},
		{site.SoftGround, "bears=6", `bears "6" is not a pressure with a unit; write a pressure with its unit, such as 5psi or 35kPa`},
		{site.SoftGround, "", "it does not say what the soft ground bears; add bears, such as 6psi, or draw it as no-go"},
		{site.Cover, "class=dense", `class "dense" is no class of cover; write open, light, medium, heavy`},
		{site.Cover, "stem=6", `stem "6" is not a length with a unit`},
		{site.Cover, "", "it says nothing of the cover; add class, stem, typical, tall or stems"},
		{site.OverheadLine, "kv=115", `kv "115" is not a voltage with a unit; write a voltage with its unit, such as 115kV or 7200V`},
		{site.OverheadLine, "kv=1100kV", "kv 1100 kV is beyond the 1000 kV at which 29 CFR 1926.1408 Table A ends; ask the line's owner"},
		{site.Gate, "", "it does not say how wide the gate is; add width, such as 12ft"},
		{site.Bridge, "weight=20", `weight "20" is not a weight with a unit`},
		{site.Bridge, "", "it does not say what weight is posted; add weight, such as 20tons"},
		{site.Travel, "setback=50ft", `setback "50ft" does not go with travel; leave it empty, and draw what to keep away from as no-go`},
	} {
		_, err := site.Describe(c.kind, said(c.text))
		var bad *units.Error
		require.ErrorAs(t, err, &bad, c.text)
		assert.ErrorContains(t, err, c.want, c.text)
	}
}

func TestFits(t *testing.T) {
	point, line := orb.Point{1, 2}, orb.LineString{{1, 2}, {3, 4}}
	polygon := orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}
	assert.NoError(t, site.LeaveTree.Fits(point))
	assert.NoError(t, site.OverheadLine.Fits(line))
	assert.NoError(t, site.Travel.Fits(polygon))
	assert.EqualError(t, site.Travel.Fits(line), "travel is drawn as a line; draw it as a polygon")
	assert.EqualError(t, site.Cover.Fits(orb.MultiPoint{point}), "cover is drawn as a point; draw it as a polygon")
	assert.EqualError(t, site.OverheadLine.Fits(point), "overhead-line is drawn as a point; draw it as a line or a polygon")
	assert.True(t, site.Selective.NeedsArea())
	assert.False(t, site.Staging.NeedsArea())
}

func FuzzDescribe(f *testing.F) {
	f.Add("no-go", "50ft", "", "", "")
	f.Add("soft", "filter strip", "6psi", "", "")
	f.Add("cover", "", "", "heavy", "6in")
	f.Add("power line", "15m", "", "115kV", "\xff")
	f.Fuzz(func(t *testing.T, word, setback, bears, class, other string) {
		kind, known := site.KindOf(word)
		if !known {
			return
		}
		values := map[string]string{"setback": setback, "bears": bears, "class": class}
		got, err := site.Describe(kind, func(a string) string {
			if v, ok := values[a]; ok {
				return v
			}
			return other
		})
		if err != nil {
			if got.Kind != "" || !utf8.ValidString(err.Error()) && utf8.ValidString(setback+bears+class+other) {
				t.Fatalf("%+v, %v", got, err)
			}
			return
		}
		for _, v := range []float64{got.Setback.WidthM, got.BearsKPa, got.StemM, got.TallM, got.StemsPerAcre, got.KV, got.WidthM, got.WeightKg} {
			if !(v >= 0) || v > 1e300*1e8 {
				t.Fatalf("%+v", got)
			}
		}
		if got.Kind == site.SoftGround && got.BearsKPa == 0 || got.Kind == site.Gate && got.WidthM == 0 {
			t.Fatalf("%+v lacks what it needs", got)
		}
	})
}
