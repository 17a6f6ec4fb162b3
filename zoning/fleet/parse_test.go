package fleet_test

import (
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
    name: 'Crawler no. 7'
    key: crawler-7
...
`))
	require.NoError(t, err)
	assert.Equal(t, []zoning.Machine{{
		Key: "crawler-7", Name: "Crawler no. 7",
		LimitPct: 100, ProcedureAbovePct: 50, TetherAbovePct: 60, RatedMaxPct: 100,
		Basis: "manual, page 3", Caution: "Mind the stumps.",
	}}, got)
}

// The least a file may hold. A basis that is left out must not look like one.
func TestParseWithoutBasis(t *testing.T) {
	got, err := fleet.Parse("crew.yaml", []byte("machines:\n- {key: a, name: A, limit: 30%}\n"))
	require.NoError(t, err)
	assert.Equal(t, []zoning.Machine{{Key: "a", Name: "A", LimitPct: 30,
		Basis: "none given in the fleet file"}}, got)
}

// YAML reads 7, true and 1.5 as other things than text.
func TestParseScalarsAsText(t *testing.T) {
	got, err := fleet.Parse("crew.yaml", []byte("machines:\n- {key: 007, name: true, limit: 30%, basis: 1.50, caution: .inf}\n"))
	require.NoError(t, err)
	assert.Equal(t, []zoning.Machine{{Key: "007", Name: "true", LimitPct: 30,
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
