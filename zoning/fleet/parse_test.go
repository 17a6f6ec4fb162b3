package fleet_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

func TestParseEveryKey(t *testing.T) {
	got, err := fleet.Parse("crew.yaml", []byte(`---
machines:
  - caution: >
      Mind the
      stumps.
    rated_max: 45deg
    tether_above: 60 %
    procedure_above: "50%"
    basis: |
      manual,
      page 3
    limit: 100%     # the same slope as the rating
    cross: 80%
    wet_limit: 70%
    wet_cross: 45%
    swing_limit: 65%
    swing_cross: 60%
    wet_swing_limit: 55%
    wet_swing_cross: 40.5%
    reach: 20 ft
    reach_up: 300%
    reach_down: 45deg
    tether: 100m
    anchor: winch
    tether_basis: manual,
      page 31
    footprint: 10ft
    width: 60in
    step: 18in
    roughness: 6in
    run: 150ft
    tallest: 5m
    stem: 4in
    pressure: 21kPa
    patch: 0.5ac
    work: selective
    thrown: 250ft
    name: 'Crawler no. 7'
    key: crawler-7
  - {key: winch, name: Winch, limit: 30%, width: 4ft}
...
`))
	require.NoError(t, err)
	for i := range got {
		m := &got[i]
		for _, v := range []*float64{&m.FootprintM, &m.WidthM, &m.StepM, &m.RoughM, &m.RunM, &m.ThrownM} {
			*v = math.Round(*v*1e9) / 1e9 // conversion leaves something in the last bits
		}
	}
	assert.Equal(t, zoning.Fleet{{
		Key: "crawler-7", Name: "Crawler no. 7",
		LimitPct: 100, CrossPct: 80,
		Wet: zoning.Limits{AlongPct: 70, CrossPct: 45}, Swing: zoning.Limits{AlongPct: 65, CrossPct: 60},
		WetSwing: zoning.Limits{AlongPct: 55, CrossPct: 40.5},
		ReachM:   6.096, ReachUpPct: 300, ReachDownPct: 100,
		ProcedureAbovePct: 50, TetherAbovePct: 60, TetherBasis: "manual, page 31", TetherM: 100, Anchor: "winch",
		RatedMaxPct: 100, FootprintM: 3.048, WidthM: 1.524, StepM: 0.4572, RoughM: 0.1524, RunM: 45.72,
		TallestM: 5, StemM: 0.1016, PressureKPa: 21, PatchAcres: 0.5, Work: zoning.Selective, ThrownM: 76.2,
		Basis: "manual, page 3", Caution: "Mind the stumps.",
	}, {
		Key: "winch", Name: "Winch", LimitPct: 30, WidthM: 1.2192, Basis: "none given in the fleet file",
	}}, got)
}

// What a value rests on may be told for each.
func TestParseBasisOfEachValue(t *testing.T) {
	for _, text := range []string{
		one("limit: 30%", "stem: 6in", "basis:", "  stem: what the crew", "    has cut", "  limit: manual, p. 12"),
		one("basis: {stem: what the crew has cut, limit: 'manual, p. 12'}", "limit: 30%", "stem: 6in"),
	} {
		got, err := fleet.Parse("crew.yaml", []byte(text))
		require.NoError(t, err)
		assert.Equal(t, "stem: what the crew has cut; limit: manual, p. 12", got[0].Basis)
	}
	got, err := fleet.Parse("crew.yaml", []byte(one("limit: 30%", "stem: 6in", "basis:", "  stem: trials")))
	require.NoError(t, err)
	assert.Equal(t, "limit: none given in the fleet file; stem: trials", got[0].Basis)
}

// Fourteen machines that use every key are far from too many tokens.
func TestParseAFullFleet(t *testing.T) {
	var text strings.Builder
	text.WriteString("machines:\n")
	for i := range zoning.MaxMachines {
		fmt.Fprintf(&text, `- key: m%d
  name: M
  limit: %d%%
  cross: 20%%
  wet_limit: 20%%
  wet_cross: 20%%
  swing_limit: 20%%
  swing_cross: 20%%
  wet_swing_limit: 20%%
  wet_swing_cross: 20%%
  reach: 20ft
  reach_up: 100%%
  reach_down: 65%%
  procedure_above: 20%%
  tether_above: 25%%
  tether_basis: manual
  tether: 200ft
  anchor: m%d
  rated_max: 60%%
  footprint: 10ft
  width: 8ft
  step: 18in
  roughness: 6in
  run: 200ft
  tallest: 20ft
  stem: 8in
  pressure: 5psi
  patch: 0.1ac
  work: selective
  thrown: 300ft
  basis: {limit: manual, stem: manual, width: manual, pressure: manual, patch: manual}
  caution: mind
`, i, 30+i, (i+1)%zoning.MaxMachines)
	}
	got, err := fleet.Parse("crew.yaml", []byte(text.String()))
	require.NoError(t, err)
	assert.Len(t, got, zoning.MaxMachines)
	assertInvariants(t, got)
}

// The least a file may hold. A basis that is left out must not look like one.
func TestParseWithoutBasis(t *testing.T) {
	got, err := fleet.Parse("crew.yaml", []byte("machines:\n- {key: a, name: A, limit: 30%}\n"))
	require.NoError(t, err)
	assert.Equal(t, zoning.Fleet{{Key: "a", Name: "A", LimitPct: 30,
		Basis: "none given in the fleet file"}}, got)
}

// YAML reads 7, true and 1.5 as other things than text.
func TestParseScalarsAsText(t *testing.T) {
	got, err := fleet.Parse("crew.yaml", []byte("machines:\n- {key: 007, name: true, limit: 30%, basis: 1.50, caution: .inf}\n"))
	require.NoError(t, err)
	assert.Equal(t, zoning.Fleet{{Key: "007", Name: "true", LimitPct: 30,
		Basis: "1.50", Caution: ".inf"}}, got)
}

func TestParseLimitsAtTheEdge(t *testing.T) {
	for _, c := range []struct {
		limit string
		pct   float64
	}{{"60deg", 173.205080757}, {"173.2%", 173.2}, {"0.1%", 0.1}} {
		got, err := fleet.Parse("crew.yaml", []byte(one("limit: "+c.limit, "rated_max: "+c.limit)))
		require.NoError(t, err, c.limit)
		assert.Equal(t, c.pct, got[0].LimitPct, c.limit)
		assert.Equal(t, c.pct, got[0].RatedMaxPct, c.limit)
	}
	got, err := fleet.Parse("crew.yaml", []byte(many(zoning.MaxMachines)))
	require.NoError(t, err)
	assert.Len(t, got, zoning.MaxMachines)
	assertInvariants(t, got)
}

// Editors on other systems end lines with CR LF and begin files with a mark.
func TestParseForeignLineEndsAndMark(t *testing.T) {
	text := string(fleet.DefaultYAML())
	crlf := "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")
	got, err := fleet.Parse("crew.yaml", []byte(crlf))
	require.NoError(t, err)
	assert.Equal(t, fleet.Default(), got)

	got, err = fleet.Parse("crew.yaml", []byte(strings.ReplaceAll(text, "\n", "\r")))
	require.NoError(t, err)
	assert.Equal(t, fleet.Default(), got)
}

// stillOnLine holds what may stand before a bad line without shifting its
// number: each has spread lines in its own way.
var stillOnLine = []struct{ name, before string }{
	{"comments", "# one\n\n#two\nmachines: # three\n  # four\n- # five\n  key: a\n"},
	{"folded text", "machines:\n- basis: >\n    one\n\n    two\n\n\n  key: a\n"},
	{"literal text", "machines:\n- basis: |\n    one\n    # no comment\n\n    two\n  key: a\n"},
	{"literal text stripped", "machines:\n- basis: |-\n    one\n  # a comment\n  key: a\n"},
	{"plain text over lines", "machines:\n- basis: one\n    two\n\n    three\n  key: a\n"},
	{"single quotes over lines", "machines:\n- basis: 'one\n    two\n\n    three'\n  key: a\n"},
	{"double quotes over lines", "machines:\n- basis: \"one\n    two\n\n    three\"\n  key: a\n"},
	{"double quotes with a break hidden", "machines:\n- basis: \"one \\\n    two\"\n  key: a\n"},
	{"double quotes with a break written", "machines:\n- basis: \"one\\ntwo\"\n  key: a\n"},
	{"document mark", "# c\n\n---\n\nmachines:\n- key: a\n"},
	{"flow over lines", "machines:\n- {key: a,\n   name: A,\n\n   limit: 3%}\n- key: b\n"},
	{"value on the next line", "machines:\n- basis:\n    one\n  key:\n    a\n"},
	{"spaces at the end", "machines:  \n- basis: one   \n   \n  key: a  \n"},
}

func TestLineNumbersBehindSpreadText(t *testing.T) {
	for _, c := range stillOnLine {
		for end, name := range map[string]string{"\n": "LF", "\r\n": "CR LF"} {
			t.Run(c.name+" "+name, func(t *testing.T) {
				text := strings.ReplaceAll(c.before+"  colour: red\n", "\n", end)
				_, err := fleet.Parse("crew.yaml", []byte(text))
				var e *fleet.Error
				require.ErrorAs(t, err, &e)
				assert.Equal(t, `"colour" is not a key of a machine`, e.Problem)
				assert.Equal(t, 1+strings.Count(c.before, "\n"), e.Line)
			})
		}
	}
}
