package sheet

import (
	"bytes"
	"io"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// hostile is a name as a stranger's file may have it.
const hostile = `Tarn "Hollow" <script>alert(1)</script> & 'Sons'`

// degrees is a place in metres east and north of the middle of a scene.
func degrees(x, y float64) orb.Point { return orb.Point{x / degreeM, y / degreeM} }

// jobPage is the sheet of a made-up job with something of everything on it.
func jobPage(t testing.TB, lots ...zoning.Parcel) *Page {
	if lots == nil {
		lots = []zoning.Parcel{ring(hostile, 0, 0, 150, 14)}
	}
	s := scene{cols: 460, rows: 440, cell: 1, fleet: threeMachines(), lots: lots, height: func(x, y float64) float64 {
		return 0.25*y + 18*math.Sin(x/45)*math.Cos(y/60) + 60*math.Exp(-((x-60)*(x-60)+(y-30)*(y-30))/900)
	}}
	g := s.grid(t)
	zm := &zoning.ZoneMap{
		Fleet: s.fleet, Ground: zoning.Dry, Boundary: "county boundary, taken as good to 10 ft (common practice, no published source)",
		Sources:  []terrain.Source{{Path: "lidar/made.tif", CellM: [2]float64{1, 1}, Unit: "m", UnitM: 1, UnitFrom: "band unit"}},
		Surveyed: "2021-04", Scale: "machine: plane over 3 × 3 cells, 3.00 × 3.00 m",
		Error:     zoning.ElevationError{SigmaM: 0.1, From: "lidar-ql2"},
		Otherwise: []float64{3, 2, 1, 0, 0, 11, 0, 0},
		Assumed:   []string{"heights are in meters: the raster does not say (--elevation-unit overrules)"},
		Warnings:  []string{"the elevation: 0.2 acres look like tree tops"},
		Cautions:  zoning.Cautions(measure.US),
		Access:    zoning.Access{Checked: true, Staging: []orb.Point{degrees(-20, -175)}},
		Hazards: []zoning.Hazard{
			{Kind: zoning.Drainage, Geometry: orb.LineString{degrees(-150, 60), degrees(0, 40), degrees(150, 90)}, Words: "drainage line: at least 2.0 acres drain through its lower end"},
			{Kind: zoning.DropOff, Geometry: orb.LineString{degrees(40, 40), degrees(60, 60), degrees(80, 40)}, Words: "drop-off, up to 12 ft"},
			{Kind: zoning.DropOff, Geometry: orb.LineString{degrees(-10, 0), degrees(-8, 2)}, Words: "drop-off, up to 9 ft"},
			{Kind: zoning.LineNear, Geometry: orb.LineString{degrees(-200, -60), degrees(200, -90)}, Words: "North line: keep 15 ft clear"},
			{Kind: zoning.SteepBelow, Geometry: orb.Polygon{{degrees(60, 0), degrees(90, 0), degrees(90, 20), degrees(60, 20), degrees(60, 0)}}, Words: "ground of 50% or more right below a zone, 0.15 acres: what goes over the edge does not stop"},
			{Kind: zoning.PinchPoint, Geometry: degrees(-90, -20), Machine: "track-loader", Words: "pinch point on the access route of the track loader: about 9 ft wide, 1.0 acres beyond"},
		},
	}
	mapLots(t, zm, g, lots)
	emergency := degrees(60, -170)
	return &Page{
		Map: zm, Grid: g, Date: "2026-05-04",
		Plan:      madePlan(),
		Checks:    madeChecks(),
		Emergency: Emergency{&emergency, "Gate 4 on the mill road. Call 911, then the office."},
		Features: []site.Feature{
			{Kind: site.Staging, Name: "Mill gate", Geometry: degrees(-20, -175)},
			{Kind: site.Building, Name: "Barn", Geometry: orb.Polygon{{degrees(100, 100), degrees(112, 100), degrees(112, 110), degrees(100, 110), degrees(100, 100)}}},
			{Kind: site.Gate, WidthM: 12 * zoning.MetresPerFoot, Geometry: degrees(0, -170)},
			{Kind: site.Travel, Geometry: orb.Polygon{{degrees(-30, -180), degrees(10, -180), degrees(10, -130), degrees(-30, -130), degrees(-30, -180)}}},
		},
	}
}

func madePlan() *plan.Plan {
	return &plan.Plan{
		GrossAcres: 17, NetAcres: 16,
		Options: []plan.Option{{
			Goal: plan.Cheapest, LeftAcres: 2, ProductiveH: 31.5, ScheduledH: 42, WorkingDays: 4.5, CostUSD: 9000, PriceUSD: 12345,
			Days: plan.Spread{P10: 4, P50: 4.5, P90: 6}, Price: plan.Spread{P10: 11000, P50: 12345, P90: 15750},
			Crew: []plan.Brought{{Key: "track-loader", Name: "Track loader", Count: 1, NetAcres: 7, ProductiveH: 20, ScheduledH: 27, MovingH: 2},
				{Key: "remote-crawler", Name: "Remote crawler", Count: 2, NetAcres: 7, ProductiveH: 11.5, ScheduledH: 15, MovingH: 1.5}},
		}},
		Permits:     []plan.Permit{{Key: "track-loader", Words: "Track loader travels 9 ft wide: over 8.5 ft"}, {Key: "boom-head", Words: "Boom-mounted head travels 12 ft wide: over 8.5 ft"}},
		RuledOut:    []plan.RuledOut{{Key: "boom-head", Reason: "it is 10 ft wide and the gate 9 ft"}},
		Notes:       []string{"An estimate from the figures given, not a quote.", "Price is cost with 12% overhead, and at least $2,500.", "Work begins when the last machine is unloaded."},
		Assumptions: []string{"job: haul_miles 30mi; support_truck $20/h, $25/h, $35/h; day 10h; margin 15% (planning default)"},
		Cautions:    []plan.Caution{{Text: "Several machines work at once: keep apart.", Source: "29 CFR 1910.266(d)(6)(ii)"}},
	}
}

func madeChecks() *field.Checks {
	return &field.Checks{Bands: []string{"track-loader"}, On: zoning.Dry, LengthM: 3, Spots: []field.Spot{
		{ID: "S01", Band: "track-loader", At: degrees(-60, 20), MappedPct: 28, LimitPct: 30, DownhillDeg: 180},
		{ID: "S02", Band: "no-machine", At: degrees(70, 50), MappedPct: 120, DownhillDeg: 10,
			Sight: &field.Sight{At: degrees(110, 60), From: "toe", DistanceM: 41, BearingDeg: 255}},
	}}
}

// written is what one of a page's methods writes.
func written(t testing.TB, write func(io.Writer) error) []byte {
	var b bytes.Buffer
	require.NoError(t, write(&b))
	return b.Bytes()
}

// mapLots runs the line from heights to zones.
func mapLots(t testing.TB, zm *zoning.ZoneMap, g *terrain.Grid, lots []zoning.Parcel) {
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows, Frame: g.Frame}}
	field := slope.NewField(g)
	field.AddAspect()
	slope.Rows(g, 0, g.Rows, field)
	trafficability.Stand(field, zm.Fleet, cells.Masks)
	for _, p := range lots {
		lot, err := zoning.MapLot(cells, field, zm.Fleet, []float64{27, 37, 97}, p)
		require.NoError(t, err)
		lot.EdgeAcres = 0.3
		zm.Lots = append(zm.Lots, lot)
	}
	zm.Cells, zm.Field = cells, field
}

// jobPageOn is the sheet of one lot on other ground, and nothing else.
func jobPageOn(t testing.TB, g *terrain.Grid) *Page {
	zm := &zoning.ZoneMap{Fleet: threeMachines(), Cautions: zoning.Cautions(measure.US)}
	mapLots(t, zm, g, []zoning.Parcel{box("Slope", -100, -100, 100, 100)})
	return &Page{Map: zm, Grid: g}
}
