package write_test

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// records reads CSV as RFC 4180 has it, a record as its cells by heading.
func records(t *testing.T, text []byte) (heading []string, all []map[string]string) {
	t.Helper()
	assert.True(t, strings.HasSuffix(string(text), "\r\n"))
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		cells := map[string]string{}
		for i, c := range row {
			cells[rows[0][i]] = c
		}
		all = append(all, cells)
	}
	return rows[0], all
}

// rounded is a number as tables have it, "" where it is not known.
func rounded(v float64) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64)
}

func TestZonesCSV(t *testing.T) {
	m := newMap(t)
	heading, all := records(t, bytesOf(t, func(w io.Writer) error { return write.ZonesCSV(w, m.zm) }))
	assert.Equal(t, "lot,feature_no,view,zone,machine_name,acres,surface_acres,slope_mean_pct,slope_max_pct,sure_acres,verify_acres,sight_acres,limit_pct,"+
		"procedure_above_pct,procedure_acres,tether_above_pct,tether_acres,water_crossings", strings.Join(heading, ","))
	require.Len(t, all, m.zoneCount())
	bands := zoning.Fleet(fleet).Bands()
	seen := map[string]bool{}
	i := 0
	for k, lot := range m.zm.Lots {
		for _, z := range lot.Zones {
			got := all[i]
			i++
			seen[got["zone"]] = true
			assert.Equal(t, []string{quotedLot, "'" + foreignLot}[k], got["lot"], "guarded against spreadsheets")
			assert.Equal(t, strconv.Itoa(k+1), got["feature_no"])
			assert.Equal(t, bands[z.Band].Key, got["zone"])
			assert.Equal(t, rounded(z.Acres), got["acres"])
			assert.Equal(t, rounded(z.SurfaceAcres), got["surface_acres"])
			assert.Equal(t, rounded(z.SlopeMeanPct), got["slope_mean_pct"])
			assert.Equal(t, rounded(z.SlopeMaxPct), got["slope_max_pct"])
			if bands[z.Band].Machine < 0 {
				for _, c := range []string{"machine_name", "sure_acres", "verify_acres", "limit_pct", "procedure_acres", "tether_above_pct"} {
					assert.Empty(t, got[c], c)
				}
				continue
			}
			machine := fleet[bands[z.Band].Machine]
			assert.Equal(t, machine.Name, got["machine_name"])
			assert.Equal(t, rounded(z.SureAcres), got["sure_acres"])
			assert.Equal(t, rounded(z.Acres-z.SureAcres), got["verify_acres"])
			assert.Equal(t, rounded(machine.SteepestPct()), got["limit_pct"])
			if machine.TetherAbovePct > 0 {
				assert.Equal(t, rounded(z.TetherAcres), got["tether_acres"])
			} else {
				assert.Empty(t, got["tether_acres"])
			}
		}
	}
	assert.Len(t, seen, len(bands)-2, "every band by limits has ground in the test's map")
}

func TestLotsCSV(t *testing.T) {
	m := newMap(t)
	heading, all := records(t, bytesOf(t, func(w io.Writer) error { return write.LotsCSV(w, m.zm) }))
	assert.Equal(t, "lot,feature_no,status,view,parcel_acres,loader_acres,boom_acres,crawler_acres,no_machine_acres,no_data_acres,no_go_acres,"+
		"sure_acres,verify_acres,sight_acres,procedure_acres,tether_acres,boundary,line_not_flagged_acres,notes,void_until_settled", strings.Join(heading, ","))
	require.Len(t, all, 2)
	columns := write.ZoneColumns(fleet)
	for i, lot := range m.zm.Lots {
		got := all[i]
		assert.Equal(t, "mapped", got["status"])
		assert.Equal(t, rounded(lot.Acres), got["parcel_acres"])
		assert.Equal(t, "0.5", got["line_not_flagged_acres"])
		assert.Equal(t, strings.Join(m.zm.Stops(), "; "), got["void_until_settled"])
		assert.Contains(t, got["void_until_settled"], "access is not checked")
		var acres, ofMachines, sure, verify, tether float64
		assert.Equal(t, "by limits", got["view"])
		for i, b := range zoning.Fleet(fleet).Bands() {
			if !m.zm.View.Has(fleet, i) {
				assert.NotContains(t, got, columns[i]+"_acres", b.Key)
				continue
			}
			v, err := strconv.ParseFloat(got[columns[i]+"_acres"], 64)
			require.NoError(t, err)
			acres += v
			if b.Machine >= 0 {
				ofMachines += v
			}
		}
		for _, z := range lot.Zones {
			tether += z.TetherAcres
		}
		assert.InDelta(t, lot.Acres, acres, 1e-8, "its bands are all of it")
		sure, _ = strconv.ParseFloat(got["sure_acres"], 64)
		verify, _ = strconv.ParseFloat(got["verify_acres"], 64)
		assert.InDelta(t, ofMachines, sure+verify, 1e-8)
		assert.Equal(t, rounded(tether), got["tether_acres"])
	}
	assert.Empty(t, all[0]["notes"])
	assert.Equal(t, `crossed itself; closed, by "hand"`, all[1]["notes"])

	m.zm.Boundary = ""
	m.zm.Lots[0].Zones[0].SureAcres = math.NaN()
	_, all = records(t, bytesOf(t, func(w io.Writer) error { return write.LotsCSV(w, m.zm) }))
	assert.Empty(t, all[0]["line_not_flagged_acres"], "nobody said how well the line is known")
	assert.Empty(t, all[0]["sure_acres"])
	assert.NotEmpty(t, all[1]["sure_acres"])
}

// OWASP, CSV Injection: what a spreadsheet may run begins with one of these.
func TestTextIsNoFormula(t *testing.T) {
	m := newMap(t)
	for name, want := range map[string]string{
		`=HYPERLINK("http://x","y")`: `'=HYPERLINK("http://x","y")`,
		"+1-555-0100":                "'+1-555-0100",
		"-2+3":                       "'-2+3",
		"@SUM(A1)":                   "'@SUM(A1)",
		"\t=1+1":                     "' =1+1",
		"\n=1+1":                     "'\n=1+1",
		"-12":                        "-12",
		"+3.5":                       "+3.5",
		"-inf":                       "'-inf",
		"-0x1p2":                     "'-0x1p2",
		"12-3":                       "12-3",
		" =1":                        "' =1",
		"'=1":                        "''=1",
		"":                           "",
		"木 = tree":                   "木 = tree",
	} {
		m.zm.Lots[0].Lot = name
		_, all := records(t, bytesOf(t, func(w io.Writer) error { return write.LotsCSV(w, m.zm) }))
		assert.Equal(t, want, all[0]["lot"], "%q", name)
	}
}
