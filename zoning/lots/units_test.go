package lots

import (
	"encoding/json"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/write"
)

// acresText is a figure as a table in acres has it.
func acresText(acres float64) string { return (&assembly{}).areaText(acres) }

// inUnits is a run over the made lots and a first surface that writes all there is, told in units.
func inUnits(t *testing.T, u measure.Units) Config {
	t.Helper()
	c := withSurface(t, config(t))
	c.Job.Options.Units = u
	c.Outputs = Outputs{Table: true, Zones: true, Package: true, Failed: true, Plan: true, Sheet: true, Cover: plan.Light}
	c.Outputs.Book = plan.Default()
	return c
}

// An acre is 4046.8564224 m², a mile 1.609344 km (NIST SP 811). Tables were in acres whatever was asked
// for: every figure that has a unit is turned, called after it, and no other one changes.
func TestTablesInHectares(t *testing.T) {
	_, us := ran(t, inUnits(t, measure.US))
	r, metric := ran(t, inUnits(t, measure.Metric))
	require.Len(t, metric, 6)
	per := map[string]float64{"hectares": 0.40468564224, "km": 1.609344}
	turned := 0
	for _, name := range []string{tableName, planName, failedName} {
		was, is := rowsOf(t, us[name]), rowsOf(t, metric[name])
		require.Len(t, is, len(was), name)
		for col, head := range is[0] {
			factor, off := 0.0, 1e-8
			for unit, f := range per {
				if strings.Contains("_"+head+"_", "_"+unit+"_") {
					factor = f
				}
			}
			if name == planName && factor == per["km"] {
				off = 2e-3 // both are written to the thousandth
			}
			if factor == 0 && !strings.HasPrefix(head, "growth") {
				assert.Equal(t, was[0][col], head, name)
			}
			assert.NotRegexp(t, "acre|mile|_ft", head, name)
			for row := 1; row < len(is); row++ {
				if head == "notes" || head == "warnings" || factor == 0 || was[row][col] == "" {
					if head != "warnings" {
						assert.Equal(t, was[row][col], is[row][col], head)
					}
					continue
				}
				turned++
				assert.InDelta(t, figureOf(t, was[row][col])*factor, figureOf(t, is[row][col]), off, "%s, %s", name, head)
			}
		}
	}
	assert.Greater(t, turned, 30*madeLots)
	assert.Contains(t, rowsOf(t, metric[tableName])[0], "growth_91_to_305_cm_hectares")
	require.NotEmpty(t, r.Plan)

	page := regexp.MustCompile(`(?s)<style>.*?</style>|<[^>]*>`).ReplaceAllString(metric[sheetName], " ")
	assert.Empty(t, regexp.MustCompile(`.{0,60}(?i:\b(?:acres?|ac|miles?|feet|ft)\b).{0,20}`).FindString(page))
	for _, words := range []string{"Hectares by zone, all lots", "round, km", "or 0.101 hectares", "hectares, dry"} {
		assert.True(t, strings.Contains(page, words), words)
	}
}

func figureOf(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// Zones say the units they are told in, in the GeoPackage as in the GeoJSON, which agrees with the table.
func TestZonesInHectares(t *testing.T) {
	c := inUnits(t, measure.Metric)
	_, out := ran(t, c)
	assert.Empty(t, regexp.MustCompile(`.{0,60}(?i:\b(?:acres?|feet|ft)\b|_acres).{0,20}`).FindString(out[zonesName]))
	var file struct {
		Summary struct {
			Units    measure.Units
			Parcel   float64 `json:"parcel_hectares"`
			Hectares map[string]float64
		}
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal([]byte(out[zonesName]), &file))
	assert.Equal(t, measure.Metric, file.Summary.Units)
	table := 0.0
	rows := rowsOf(t, out[tableName])
	require.Equal(t, "parcel_hectares", rows[0][4])
	for _, row := range rows[1:] {
		table += figureOf(t, row[4])
	}
	zones := 0.0
	for _, f := range file.Features {
		if v, ok := f.Properties["hectares"].(float64); ok {
			zones += v
		}
	}
	assert.InDelta(t, madeLots*400/1e4, table, 0.02, "squares of 20 m, on the ground")
	assert.InDelta(t, table, file.Summary.Parcel, 1e-7)
	assert.InDelta(t, table, zones, 1e-6)

	require.NoError(t, godal.RegisterVector(godal.GeoPackage))
	ds, err := godal.Open(filepath.Join(c.Dir, packageName), godal.VectorOnly())
	require.NoError(t, err)
	defer ds.Close()
	layer := ds.LayerByName(write.ZonesLayer)
	require.NotNil(t, layer)
	row := layer.NextFeature()
	defer row.Close()
	fields := row.Fields()
	assert.Equal(t, file.Features[0].Properties["hectares"], fields["hectares"].Float())
	for name := range fields {
		assert.NotContains(t, name, "acre")
	}
}

// Metric outputs too are the same bytes for any number of workers, and joined from parts, which
// need no word about their units.
func TestSameBytesInHectares(t *testing.T) {
	c := inUnits(t, measure.Metric)
	c.Workers = 1
	_, want := ran(t, c)
	c.Workers, c.Dir = 3, t.TempDir()
	_, got := ran(t, c)
	mustBeSame(t, want, got, 3, "workers")
	shards := t.TempDir()
	for i := range 2 {
		c.Dir, c.Shard = shards, Shard{i + 1, 2}
		_, err := Run(never(), c)
		require.NoError(t, err)
	}
	merged := t.TempDir()
	made, err := Merge(t.Context(), merged, []string{shards}, c.Outputs, nil)
	require.NoError(t, err)
	assert.Equal(t, measure.Metric, made.Units)
	mustBeSame(t, want, outputsIn(t, merged))
}

// A journal holds words and features in its units: gone on with in others, files would mix figures that
// differ 2.47 times.
func TestAJournalKeepsItsUnits(t *testing.T) {
	for _, began := range []measure.Units{measure.US, measure.Metric} {
		c := config(t)
		c.Job.Options.Units = began
		_, want := ran(t, c)
		other := c
		other.Job.Options.Units = map[measure.Units]measure.Units{measure.US: measure.Metric, measure.Metric: measure.US}[began]
		_, err := Run(never(), other)
		require.ErrorIs(t, err, resume.ErrInputs)
		assert.EqualError(t, err, filepath.Join(c.Dir, "run.journal")+" was made from other inputs: it was begun in "+began.String()+" units, and "+
			other.Job.Options.Units.String()+" units are asked for; go on with units "+began.String()+", name another folder, or begin again with anew")
		mustBeSame(t, want, outputsIn(t, c.Dir))
		r, got := ran(t, c)
		assert.Equal(t, madeLots, r.Again)
		mustBeSame(t, want, got)

		other.Anew = true
		r, got = ran(t, other)
		assert.Zero(t, r.Again)
		assert.NotEqual(t, want[tableName], got[tableName])
	}
}

// Parts in two units are not joined: of the outputs half would be 2.47 times wrong.
func TestPartsInTwoUnitsAreNotJoined(t *testing.T) {
	c := config(t)
	c.Dir = t.TempDir()
	for i, u := range []measure.Units{measure.US, measure.Metric} {
		c.Shard, c.Job.Options.Units = Shard{i + 1, 2}, u
		_, err := Run(never(), c)
		require.NoError(t, err)
	}
	dir := t.TempDir()
	_, err := Merge(t.Context(), dir, []string{c.Dir}, c.Outputs, nil)
	require.ErrorIs(t, err, ErrParts)
	assert.ErrorContains(t, err, filepath.Join(c.Dir, "run-2-of-2.journal")+" is told in metric units, and "+filepath.Join(c.Dir, "run-1-of-2.journal")+
		" in us units; run all parts with the same units, those of the other units again with anew")
	assert.Empty(t, outputsIn(t, dir))
}

// Where all lots fail the files still say their units: no first lot tells them.
func TestUnitsOfLotsThatAllFailed(t *testing.T) {
	c := inUnits(t, measure.Metric)
	lots := squares(2, groundCells, 20)
	for _, l := range lots {
		for i := range l.ring {
			l.ring[i][0] += 1e6
		}
	}
	writeLots(t, c.Job.Parcels, lots)
	r, out := ran(t, c)
	assert.Equal(t, 2, r.Failed)
	assert.Contains(t, out[zonesName], `"units": "metric"`)
	assert.NotRegexp(t, `\bacres\b|_acres`, out[zonesName])
	assert.NotContains(t, out[tableName], "acres")
}

// Lots, site files and maps have units of their own; a run has one.
func TestARunHasOneSystemOfUnits(t *testing.T) {
	c := config(t)
	c.Job.Options.Units, c.Job.ParcelOptions.Units = measure.Metric, measure.US
	require.NoError(t, c.check())
	assert.Equal(t, measure.Metric, c.Job.ParcelOptions.Units)
	assert.Equal(t, measure.Metric, c.Job.Site.SiteOptions.Units)
	c.Job.Options.Units = "imperial"
	assert.EqualError(t, c.check(), `units "imperial"; write us or metric`)
}
