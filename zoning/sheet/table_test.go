package sheet

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// oneLot has numbers that can be followed by hand.
func oneLot() *zoning.ZoneMap {
	nan := math.NaN()
	fleet := threeMachines()
	fleet[0].Basis = "planning default; the machine's manual governs"
	fleet[1].Basis = strings.Repeat("what the crew settled on in a long talk ", 4)
	return &zoning.ZoneMap{
		Fleet: fleet,
		Lots: []zoning.LotMap{{Lot: "Tarn Hollow", Acres: 1250.04, Zones: []zoning.Zone{
			{Band: 0, Acres: 812.3, SlopeMeanPct: 12.34, SlopeMaxPct: 29.98, SureAcres: 700.2},
			{Band: 1, Acres: 300.1, SlopeMeanPct: 34.9, SlopeMaxPct: 39.94, SureAcres: 210, ProcedureAcres: 140.2},
			{Band: 2, Acres: 100.6, SlopeMeanPct: 55, SlopeMaxPct: 99.9, SureAcres: 100.6, ProcedureAcres: 20.5, TetherAcres: 20.5},
			{Band: 5, Acres: 0.04, SlopeMeanPct: 120, SlopeMaxPct: 154.3, SureAcres: nan},
			{Band: 6, Acres: 37, SlopeMeanPct: nan, SlopeMaxPct: nan, SureAcres: nan, ProcedureAcres: nan, TetherAcres: nan},
		}, Notes: []string{"a bow-tie was repaired; 0.02 acres changed"}}},
		Scale:    "machine: plane over 3 × 3 cells, 3 × 3 m",
		Error:    zoning.ElevationError{SigmaM: 0.1, From: "--elevation-error"},
		Sources:  []terrain.Source{{Path: "hollow.tif", CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "assumed"}},
		Assumed:  []string{"heights are in meters: hollow.tif does not say"},
		Warnings: []string{"part of the parcel lies off the elevation: 37.0 acres have no elevation data"},
		Cautions: zoning.Cautions(measure.US)[:2],
	}
}

func golden(t *testing.T, file string, zm *zoning.ZoneMap) {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Table(&b, zm))
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

func TestTableOfOneLot(t *testing.T) { golden(t, "testdata/table_one.txt", oneLot()) }

// Several lots are one table. By hand: track loader 2 + 6 = 8 acres, mean
// (2·10 + 6·20)/8 = 17.5%, steepest 28%; unknown ground has no slope, and does
// not spoil the mean of a zone that has some. Cells of 92 m² carry no hundredth of an acre.
func TestTableOfSeveralLots(t *testing.T) {
	nan := math.NaN()
	zm := &zoning.ZoneMap{
		Fleet: []zoning.Machine{{Key: "track-loader", Name: "Track loader", LimitPct: 30}},
		Lots: []zoning.LotMap{
			{Lot: "1", Acres: 2.5, Zones: []zoning.Zone{
				{Band: 0, Acres: 2, SlopeMeanPct: 10, SlopeMaxPct: 28, SureAcres: nan},
				{Band: 3, Acres: 0.5, SlopeMeanPct: 44, SlopeMaxPct: 60, SureAcres: nan}}},
			{Lot: "2", Acres: 7.505, Zones: []zoning.Zone{
				{Band: 0, Acres: 6, SlopeMeanPct: 20, SlopeMaxPct: 25, SureAcres: nan},
				{Band: 3, Acres: 1.501, SlopeMeanPct: nan, SlopeMaxPct: nan, SureAcres: nan},
				{Band: 4, Acres: 0.004, SlopeMeanPct: nan, SlopeMaxPct: nan, SureAcres: nan}}},
		},
		Sources: []terrain.Source{
			{Path: "a.tif", CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "vertical CRS"},
			{Path: "b.tif", CellM: [2]float64{8.9, 10.3}, Unit: "ft", UnitFrom: "band unit"}},
	}
	for i := range 12 {
		zm.Lots[i%2].Notes = append(zm.Lots[i%2].Notes, "a part of no ground was left out")
	}
	golden(t, "testdata/table_lots.txt", zm)
}

// A fleet file promises that the basis of a limit is printed with the map; that
// of a machine without ground in it is left out.
func TestTableTellsBasis(t *testing.T) {
	zm := oneLot()
	zm.Fleet[0].Name, zm.Fleet[2].Basis = "Track loader", "not used"
	zm.Lots[0].Zones = append(zm.Lots[0].Zones[:2:2], zm.Lots[0].Zones[3:]...)
	var b strings.Builder
	require.NoError(t, Table(&b, zm))
	assert.Contains(t, b.String(), "\nlimit      Track loader 30%: planning default; the machine's manual governs\n")
	assert.Contains(t, b.String(), "\nlimit      Boom-mounted head 40%: what the crew settled on")
	assert.NotContains(t, b.String(), "not used")
}

func TestTableOfRealLine(t *testing.T) {
	_, zm := scenes()["hills"].mapped(t)
	var b strings.Builder
	require.NoError(t, Table(&b, zm))
	for _, line := range strings.Split(b.String(), "\n") {
		if !strings.HasPrefix(line, "elevation") {
			assert.LessOrEqual(t, len([]rune(line)), 130)
		}
	}
	assert.NotContains(t, strings.ToLower(b.String()), "safe")
	for _, c := range zm.Cautions {
		assert.Contains(t, strings.Join(strings.Fields(b.String()), " "), strings.Split(c, ". ")[0][:20])
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }

func TestWriteErrorsAreReported(t *testing.T) {
	g, zm := scenes()["tiny"].mapped(t)
	assert.ErrorContains(t, Table(full{}, zm), "disk is full")
	assert.ErrorContains(t, Picture(full{}, g, zm), "disk is full")
}

// Growth is one line, its acres as those of the zones.
func TestTableGrowth(t *testing.T) {
	zm := oneLot()
	zm.Growth = &zoning.Growth{
		Sources: []terrain.Source{{Path: "flights/first.tif"}}, How: "cell by cell",
		Lots: []zoning.GrowthAcres{{ByClass: [zoning.GrowthClasses]float64{1000, 100.2, 0, 112.84}, Unknown: 37}},
	}
	var b strings.Builder
	require.NoError(t, Table(&b, zm))
	assert.Contains(t, strings.Join(strings.Fields(b.String()), " "),
		"growth acres by least height: under 3 ft 1,000.0, 3 to 10 ft 100.2, 10 to 25 ft 0.0, 25 ft and over 112.8, not known 37.0; from first.tif: cell by cell, date not known")
}
