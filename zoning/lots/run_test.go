package lots

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/write"
)

// featuresOf are the features of a zones.geojson, by lot.
func featuresOf(t *testing.T, zones string) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, line := range strings.Split(zones, "\n") {
		if !strings.HasPrefix(line, `    {"type": "Feature"`) {
			continue
		}
		_, rest, ok := strings.Cut(line, `"lot":"`)
		require.True(t, ok, line)
		lot, _, _ := strings.Cut(rest, `"`)
		out[lot] = append(out[lot], strings.TrimSuffix(line, ","))
	}
	return out
}

func rowsOf(t *testing.T, table string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	require.NoError(t, err)
	return rows
}

func TestLotsAreThoseOfMapsOfThemAlone(t *testing.T) {
	require.Positive(t, mustBeMapsAlone(t, config(t)))
}

// mustBeMapsAlone runs over the made lots and compares each with a map of it alone. It
// counts the hazards.
func mustBeMapsAlone(t *testing.T, c Config) (hazards int) {
	t.Helper()
	r, out := ran(t, c)
	require.Equal(t, madeLots, r.Lots)
	require.Zero(t, r.Failed)
	got := featuresOf(t, out["zones.geojson"])
	rows := rowsOf(t, out["lots.csv"])
	require.Len(t, rows, 1+madeLots)
	require.Equal(t, "lot feature_no status view parcel_acres track_loader_acres", strings.Join(rows[0][:6], " "))
	column := func(row int, name string) string { return rows[row][slices.Index(rows[0], name)] }
	columns := write.ZoneColumns(c.Job.Fleet)
	sums := write.NewCollection(c.Job.Fleet)
	for i, lot := range squares(madeLots, groundCells, 20) {
		alone := filepath.Join(t.TempDir(), "alone.geojson")
		writeLots(t, alone, []made{lot})
		ground, err := read.Prepare(t.Context(), read.Request{Elevation: c.Job.Elevation, Parcel: alone, Surface: c.Job.Surface, SiteFiles: c.Job.Site})
		require.NoError(t, err)
		m, err := mapping.Map(t.Context(), ground, c.Job.Fleet, mapping.Options{})
		require.NoError(t, err)
		m.Lots[0].Place = i + 1 // alone it is the first
		var want bytes.Buffer
		require.NoError(t, write.Features(&want, m))
		if len(m.Hazards) > 0 {
			want.WriteString(",\n")
			hazards += len(m.Hazards)
		}
		require.NoError(t, write.HazardFeatures(&want, m))
		require.Equal(t, want.String(), strings.Join(got[lot.name], ",\n"), lot.name)
		require.Equal(t, []string{lot.name, strconv.Itoa(i + 1), "mapped", "by limits", acresText(m.Lots[0].Acres)}, rows[1+i][:5])
		require.Equal(t, "dry", column(1+i, "ground"))
		for b, acres := range m.Otherwise {
			if !zoning.ByLimits.Has(c.Job.Fleet, b) {
				continue
			}
			require.Equal(t, acresText(acres), column(1+i, columns[b]+"_acres_wet"), lot.name)
			require.Equal(t, column(1+i, columns[b]+"_acres"), column(1+i, columns[b]+"_acres_dry"), lot.name)
		}
		if m.Growth != nil {
			require.Equal(t, acresText(m.Growth.Lots[0].ByClass[3]), column(1+i, "growth_over_25_ft_acres"), lot.name)
			require.Equal(t, acresText(m.Growth.Lots[0].Unknown), column(1+i, "growth_no_data_acres"), lot.name)
		}
		for _, z := range m.Lots[0].Zones {
			if z.Band < len(c.Job.Fleet) {
				require.Equal(t, acresText(z.Acres-z.SureAcres), column(1+i, columns[z.Band]+"_verify_acres"), lot.name)
			}
		}
		m.Lots[0].Notes = nil
		require.NoError(t, sums.Add(m))
	}
	// The summary is that of the maps, whose sums went through the journal.
	var want bytes.Buffer
	require.NoError(t, sums.WriteGeoJSON(&want, func(func([]byte, error) bool) {}))
	head, _, _ := strings.Cut(want.String(), `"features": [`)
	require.Equal(t, head, out["zones.geojson"][:min(len(head), len(out["zones.geojson"]))])
	for _, says := range []string{`"acres_dry": {`, `"acres_wet": {`, `"lost_acres": {`, `"access": {`, zoning.AccessNotChecked} {
		require.Contains(t, head, says)
	}
	return hazards
}

// Where only slope is asked there is nothing to say of the other state of the ground.
func TestSlopeAloneLeavesBlanks(t *testing.T) {
	c := config(t)
	c.Job.Options.SlopeOnly = true
	c.Outputs = Outputs{Table: true, Zones: true}
	_, out := ran(t, c)
	rows := rowsOf(t, out["lots.csv"])
	for _, state := range []string{"dry", "wet"} {
		require.Empty(t, rows[1][slices.Index(rows[0], "track_loader_acres_"+state)])
	}
	require.NotContains(t, out["zones.geojson"], `"acres_wet"`)
	require.Contains(t, out["zones.geojson"], zoning.BySlopeAlone)
}

func TestSameBytesForAnyWorkersAndShards(t *testing.T) {
	c := config(t)
	c.Outputs.Package = true
	c.Workers = 1
	_, want := ran(t, c)
	require.Len(t, want, 5)
	checkLayers(t, filepath.Join(c.Dir, packageName), want["zones.geojson"])
	for _, workers := range []int{2, 8} {
		c.Workers, c.Dir = workers, t.TempDir()
		_, got := ran(t, c)
		mustBeSame(t, want, got, workers, "workers")
	}
	c.Workers = 2
	shards := t.TempDir()
	for i := range 3 {
		c.Dir, c.Shard = shards, Shard{3 - i, 3}
		r, got := ran(t, c)
		require.InDelta(t, madeLots/3, r.Lots, 1)
		require.Empty(t, got) // its journal alone
	}
	merged := t.TempDir()
	_, err := Merge(t.Context(), merged, []string{shards}, c.Outputs, nil)
	require.NoError(t, err)
	mustBeSame(t, want, outputsIn(t, merged))
}

// A lot's zones do not depend on what stands before it in the file, but for its place.
func TestOrderOfTheFileDoesNotMatter(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	lots := squares(madeLots, groundCells, 20)
	rand.New(rand.NewPCG(3, 4)).Shuffle(len(lots), func(i, j int) { lots[i], lots[j] = lots[j], lots[i] })
	places := map[string]int{}
	for i, l := range lots {
		places[l.name] = i + 1
	}
	c.Job.Parcels, c.Dir = filepath.Join(t.TempDir(), "shuffled.geojson"), t.TempDir()
	writeLots(t, c.Job.Parcels, lots)
	_, got := ran(t, c)
	was, is := featuresOf(t, want["zones.geojson"]), featuresOf(t, got["zones.geojson"])
	for i := range madeLots {
		name := fmt.Sprintf("L%03d", i)
		for k, f := range was[name] {
			was[name][k] = strings.Replace(f, fmt.Sprintf(`"feature_no":%d,`, i+1), fmt.Sprintf(`"feature_no":%d,`, places[name]), 1)
		}
	}
	require.Equal(t, was, is)
	require.Equal(t, len(rowsOf(t, want["lots.csv"])), len(rowsOf(t, got["lots.csv"])))
}

func TestOutputsMayBeLeftOut(t *testing.T) {
	c := config(t)
	c.Outputs = Outputs{Failed: true}
	_, out := ran(t, c)
	require.Equal(t, map[string]string{"failed.csv": "lot,reason,hint,feature_no,repaired,changed_pct\n"}, out)
	// What is finished is not mapped again for another output.
	c.Child = withFaults("*:fault")
	c.Outputs = Outputs{Table: true, Split: true}
	r, out := ran(t, c)
	require.Equal(t, madeLots, r.Again)
	require.Len(t, out, 2) // failed.csv is left
	files, err := filepath.Glob(filepath.Join(c.Dir, "zones", "*.geojson"))
	require.NoError(t, err)
	require.Len(t, files, madeLots)
	require.True(t, slices.Contains(files, filepath.Join(c.Dir, "zones", "1-L000.geojson")))
}

// checkLayers counts the features of a GeoPackage's layers by GDAL.
func checkLayers(t *testing.T, path, zones string) {
	t.Helper()
	require.NoError(t, godal.RegisterVector(godal.GeoPackage))
	ds, err := godal.Open(path, godal.VectorOnly())
	require.NoError(t, err)
	defer ds.Close()
	hazards := strings.Count(zones, `"hazard":`)
	for name, want := range map[string]int{"zones": strings.Count(zones, `"type": "Feature"`) - hazards, "hazards": hazards} {
		layer := ds.LayerByName(name)
		require.NotNil(t, layer, name)
		n, err := layer.FeatureCount()
		require.NoError(t, err)
		require.Equal(t, want, n, name)
	}
}
