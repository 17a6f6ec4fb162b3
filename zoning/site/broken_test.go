package site_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/site"
)

// Broken grids and numbers panicked, looped, or left what is drawn as no-go without a word.
func TestWhatCannotBeLaidIsAnError(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	whole := func() *terrain.Grid { return must(terrain.NewGrid(make([]float32, 12), 4, 3, 10, 10)) }
	at := orb.Point(func() (p [2]float64) { p[0], p[1] = whole().Frame.LonLat(1.5, 1.5); return p }())
	for words, spoil := range map[string]func(*site.Feature){
		`"pond" is no kind`:                      func(f *site.Feature) { f.Kind = "pond" },
		`"" is no kind`:                          func(f *site.Feature) { f.Kind = "" },
		"feature 3 (Pond): there is no geometry": func(f *site.Feature) { f.Geometry = nil },
		"cannot be laid on ground":               func(f *site.Feature) { f.Geometry = orb.Ring{at} },
		"orb.Bound cannot be laid":               func(f *site.Feature) { f.Geometry = orb.Collection{at, orb.Bound{}} },
		"longitude NaN":                          func(f *site.Feature) { f.Geometry = orb.Point{nan, 1} },
		"latitude NaN":                           func(f *site.Feature) { f.Geometry = orb.MultiPoint{at, {1, nan}} },
		"longitude +Inf":                         func(f *site.Feature) { f.Geometry = orb.LineString{at, {inf, 1}} },
		"longitude -1e+300":                      func(f *site.Feature) { f.Geometry = orb.LineString{{-1e300, 0}, {1e300, 0}} },
		"longitude 541":                          func(f *site.Feature) { f.Geometry = orb.Polygon{{at, {541, 0}, {0, 0}, at}} },
		"latitude 90.1":                          func(f *site.Feature) { f.Geometry = orb.MultiPolygon{{{at, {0, 90.1}, {0, 0}, at}}} },
		"latitude -91":                           func(f *site.Feature) { f.Geometry = orb.MultiLineString{{at, {0, -91}}} },
		"Setback.WidthM is NaN":                  func(f *site.Feature) { f.Setback.WidthM = nan },
		"Setback.WidthM is 1e+09":                func(f *site.Feature) { f.Setback.WidthM = 1e9 },
		"Setback.WidthM is -1":                   func(f *site.Feature) { f.Setback.WidthM = -1 },
		"BearsKPa is NaN":                        func(f *site.Feature) { f.BearsKPa = nan },
		"StemM is -0.1":                          func(f *site.Feature) { f.StemM = -0.1 },
		"TallM is +Inf":                          func(f *site.Feature) { f.TallM = inf },
		"StemsPerAcre is NaN":                    func(f *site.Feature) { f.StemsPerAcre = nan },
		"KV is NaN":                              func(f *site.Feature) { f.KV = nan },
		"WidthM is 1e+300":                       func(f *site.Feature) { f.WidthM = 1e300 },
		"WeightKg is NaN":                        func(f *site.Feature) { f.WeightKg = nan },
		"cover of class 9":                       func(f *site.Feature) { f.Class = 9 },
	} {
		f := site.Feature{Kind: site.NoGo, Name: "Pond", Place: 3, Geometry: at}
		assert.NoError(t, f.Check())
		spoil(&f)
		ground, err := site.Lay([]site.Feature{{Kind: site.NoGo, Geometry: at}, f}, whole())
		assert.ErrorContains(t, err, words)
		assert.ErrorContains(t, err, "feature 3 (Pond)")
		assert.Nil(t, ground, words)
	}
	for words, spoil := range map[string]func(*terrain.Grid) *terrain.Grid{
		"there is no grid":    func(*terrain.Grid) *terrain.Grid { return nil },
		"11 heights":          func(g *terrain.Grid) *terrain.Grid { g.Z = g.Z[:11]; return g },
		"0 columns":           func(g *terrain.Grid) *terrain.Grid { g.Cols = 0; return g },
		"2147483647 rows":     func(g *terrain.Grid) *terrain.Grid { g.Rows = math.MaxInt32; return g },
		"has no frame":        func(g *terrain.Grid) *terrain.Grid { g.Frame = nil; return g },
		"nobody knows how la": func(g *terrain.Grid) *terrain.Grid { g.Frame = &terrain.Frame{}; return g },
	} {
		_, err := site.Lay(nil, spoil(whole()))
		assert.ErrorContains(t, err, words)
		assert.ErrorContains(t, site.Near(spoil(whole()), at, 1, func(int, float64) { t.Error("visited") }), words)
	}
	none := func(int, float64) { t.Error("visited") }
	for words, err := range map[string]error{
		"within NaN m":         site.Near(whole(), at, nan, none),
		"within -1 m":          site.Near(whole(), at, -1, none),
		"within +Inf m":        site.Near(whole(), at, inf, none),
		"within 100001 m":      site.Near(whole(), at, site.MaxReachM+1, none),
		"there is no geometry": site.Near(whole(), nil, 1, none),
		"latitude NaN":         site.Near(whole(), orb.Point{0, nan}, 1, none),
	} {
		assert.ErrorContains(t, err, words)
	}
}

// What reaches as far as may be is laid: everywhere on so small a window.
func TestTheFarthestReachIsLaid(t *testing.T) {
	g := must(terrain.NewGrid(make([]float32, 12), 4, 3, 10, 10))
	lon, lat := g.Frame.LonLat(1.5, 1.5)
	far := site.Feature{Kind: site.NoGo, Geometry: orb.Point{lon, lat}, Setback: site.Setback{WidthM: site.MaxReachM}}
	assert.NotContains(t, must(site.Lay([]site.Feature{far}, g)).Setback, false)
	n := 0
	assert.NoError(t, site.Near(g, far.Geometry, site.MaxReachM, func(int, float64) { n++ }))
	assert.Equal(t, 12, n)
	assert.NoError(t, site.Feature{Kind: site.Travel, Geometry: orb.Polygon{{{540, 90}, {-540, -90}, {0, 0}, {540, 90}}}}.Check())
	assert.NoError(t, site.Near(g, orb.Point{lon + 360, lat}, 1, func(int, float64) {}))
}

// Words of what there is not: a kind without a geometry, a class beyond the thickest, bytes
// that are no setback.
func TestWhatThereIsNotHasWords(t *testing.T) {
	assert.ErrorContains(t, site.Road.Fits(nil), "road has no geometry")
	assert.Equal(t, "heavy", site.Heavy.String())
	assert.Equal(t, "Class(5)", site.Class(5).String())
	assert.Equal(t, "", site.NoClass.String())
	var s site.Setback
	for _, b := range [][]byte{nil, {1, 2, 3}, append(make([]byte, 8), "mine"...)} {
		assert.Error(t, s.UnmarshalBinary(b))
	}
	assert.False(t, site.Kind("pond").NeedsArea())
	assert.Zero(t, site.Rule{}.WidthM(math.NaN()))
}
