package sheet

import (
	"fmt"
	"image"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// words joins every text of a page.
func (p *page) words() string {
	var all []string
	for _, t := range append(p.texts[:len(p.texts):len(p.texts)], p.names...) {
		all = append(all, t.words)
	}
	return strings.Join(all, "\n")
}

// apart checks that nothing on a page overlaps or runs off it.
func apart(t *testing.T, pg *page) {
	t.Helper()
	whole := image.Rectangle{Max: pg.size}.Inset(margin / 2)
	type thing struct {
		what string
		box  image.Rectangle
	}
	things := []thing{{"the ground", pg.ground}, {"the north arrow", image.Rectangle{Max: image.Pt(northSize, northSize)}.Add(pg.north.Sub(image.Pt(northSize/2, northSize/2)))}}
	for _, s := range pg.swatches {
		things = append(things, thing{fmt.Sprint("swatch ", s.band), s.box})
	}
	for _, x := range pg.texts {
		things = append(things, thing{x.words, x.box})
	}
	for i, a := range things {
		assert.True(t, a.box.In(whole), "%q runs off the picture", a.what)
		for _, b := range things[:i] {
			// Boxes are those of the tallest letters; a line may touch the next.
			assert.True(t, a.box.Intersect(b.box).Dy() <= 3, "%q overlaps %q", a.what, b.what)
		}
	}
	for _, b := range pg.bars {
		assert.True(t, b.box.In(whole), "a line runs off the picture")
		for _, x := range pg.texts {
			assert.True(t, x.box.Intersect(b.box).Dy() <= 3, "%q lies on a line", x.words)
		}
	}
	for i, a := range pg.names {
		assert.True(t, a.box.In(pg.ground))
		for _, b := range pg.names[:i] {
			assert.True(t, a.box.Intersect(b.box).Empty(), "%q overlaps %q", a.words, b.words)
		}
	}
}

func TestNothingOverlaps(t *testing.T) {
	for name, s := range scenes() {
		t.Run(name, func(t *testing.T) {
			g, zm := s.mapped(t)
			pg, _ := placed(t, g, zm)
			apart(t, pg)
			assert.NotContains(t, strings.ToLower(pg.words()), "safe")
			assert.Contains(t, pg.words(), "Planning values. Verify on foot; the machine's manual governs.")
		})
	}
}

// The worst that can be asked of a page: 14 machines, each with acres above
// both slopes, long names, many assumptions, on ground of any shape.
func TestCrowdedPagesFit(t *testing.T) {
	for _, size := range [][2]float64{{300, 300}, {40, 600}, {600, 40}, {330, 270}, {3, 3}, {90, 160}} {
		s := scenes()["fourteen"]
		s.lots = []zoning.Parcel{box(strings.Repeat("A lot of a very long name ", 9), -size[0]/2, -size[1]/2, size[0]/2, size[1]/2)}
		g, zm := s.mapped(t)
		zm.Lots[0].Zones = append([]zoning.Zone(nil), zm.Lots[0].Zones...)
		for b := range zm.Fleet {
			zm.Fleet[b].Name = strings.Repeat("Machine with a name ", 4)
			zm.Fleet[b].ProcedureAbovePct, zm.Fleet[b].TetherAbovePct = zm.Fleet[b].LimitPct-2, zm.Fleet[b].LimitPct-1
			zm.Fleet[b].TetherBasis = "manual"
			zm.Lots[0].Zones = append(zm.Lots[0].Zones, zoning.Zone{Band: b, Acres: 123456.7, ProcedureAcres: 98765.4, TetherAcres: 54321.2})
		}
		zm.Lots[0].Acres += 14 * 123456.7
		for i := range 9 {
			zm.Assumed = append(zm.Assumed, fmt.Sprintf("number %d of what was assumed, told at such length that it takes several lines of the legend", i))
		}
		zm.Sources = append(zm.Sources, terrain.Source{CellM: [2]float64{3.92, 3.91}, Unit: "us-ft", UnitFrom: "assumed"})
		pg, _ := placed(t, g, zm)
		apart(t, pg)
		assert.LessOrEqual(t, max(pg.size.X, pg.size.Y), 1640, "%v", size)
		assert.Len(t, pg.swatches, 16)
		for _, x := range pg.texts {
			if strings.Contains(x.words, " above ") {
				assert.NotContains(t, x.words, "…", "acres must not be cut off")
			}
		}
		assert.Contains(t, pg.words(), "written procedure above 6%: 98,765.4 acres")
		assert.Contains(t, pg.words(), "tether above 7%: 54,321.2 acres")
		assert.Contains(t, pg.words(), "Assumed: 5 more, see zones.geojson")
		assert.Contains(t, strings.Join(strings.Fields(pg.words()), " "), "1.0 to 3.9 m cells, heights in meters (band unit); heights in US survey feet (assumed)")
		assert.True(t, strings.HasSuffix(pg.texts[len(pg.texts)-3].words, "…"), "the title is shortened")
	}
}

// The legend's acres are those of the zone map.
func TestLegendAcres(t *testing.T) {
	for _, name := range []string{"hills", "voids", "lots", "ridge"} {
		g, zm := scenes()[name].mapped(t)
		decimals := 1
		if len(zm.Lots) > 1 {
			decimals = 2
		}
		acres := make([]float64, len(zm.Fleet.Bands()))
		whole := 0.0
		for _, lot := range zm.Lots {
			whole += lot.Acres
			for _, z := range lot.Zones {
				acres[z.Band] += z.Acres
			}
		}
		rows := legendRows(totalsOf(zm), zm.Fleet, zm.View)
		require.Len(t, rows, 5)
		pg, _ := placed(t, g, zm)
		for _, r := range rows {
			b := r.band
			if want := strconv.FormatFloat(acres[b], 'f', decimals, 64); acres[b] == 0 || acres[b] > 0.05 {
				assert.Equal(t, want, r.acres, "%s band %d", name, b)
			}
			assert.Contains(t, pg.words(), r.acres)
			share, err := strconv.ParseFloat(strings.Trim(r.share, "<>%"), 64)
			require.NoError(t, err)
			assert.InDelta(t, 100*acres[b]/whole, share, 1)
		}
		assert.Contains(t, pg.words(), strconv.FormatFloat(whole, 'f', decimals, 64))
		assert.Equal(t, []string{"Track loader", "Boom-mounted head", "Remote crawler", "No machine", "No elevation data"},
			[]string{rows[0].name, rows[1].name, rows[2].name, rows[3].name, rows[4].name})
		assert.Equal(t, "up to 30% slope", rows[0].lines[0])
		assert.Equal(t, "hand work or leave", rows[3].lines[0])
	}
}

func TestLegendTellsProcedureAndTether(t *testing.T) {
	tot := totals{lots: 1, decimals: 1, acres: 100}
	m := zoning.Machine{LimitPct: 100, ProcedureAbovePct: 60, TetherAbovePct: 60, TetherBasis: "manual"}
	b := bandTotal{procedureAcres: 3.25, tetherAcres: 3.25}
	assert.Equal(t, []string{"up to 100% slope", "procedure and tether above 60%: 3.2 acres"}, machineLines(tot, b, m))
	m.TetherAbovePct, b.tetherAcres = 70.5, 0.01
	assert.Equal(t, []string{"up to 100% slope", "written procedure above 60%: 3.2 acres", "tether above 70.5%: <0.1 acres"}, machineLines(tot, b, m))
	assert.Equal(t, []string{"up to 100% slope"}, machineLines(tot, bandTotal{}, m))
}

func TestScaleBarIsTrue(t *testing.T) {
	for _, metres := range []float64{0.013, 0.1, 0.66, 1, 7.3, 90} {
		p := &page{}
		p.scaleBar(100, 0, 324, metres, measure.US)
		// The first bar of each ruler is its whole length; labels name it.
		// International foot: 0.3048 m.
		for i, unit := range []struct {
			name   string
			metres float64
		}{{" feet", 0.3048}, {" meters", 1}} {
			label := p.texts[2*i+1].words
			require.True(t, strings.HasSuffix(label, unit.name), label)
			n, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSuffix(label, unit.name), ",", ""), 64)
			require.NoError(t, err)
			bar := p.bars[3*i].box
			assert.InDelta(t, n*unit.metres/metres, bar.Dx(), 0.51, label)
			assert.LessOrEqual(t, p.texts[2*i+1].box.Max.X, 100+324)
			assert.Greater(t, bar.Dx(), 60)
		}
	}
}

func TestRoundLength(t *testing.T) {
	for limit, want := range map[float64]float64{1: 1, 1.99: 1, 2: 2, 4.9: 2, 5: 5, 9.99: 5, 10: 10, 730: 500, 0.3: 0.2} {
		assert.InDelta(t, want, roundLength(limit), 1e-12)
	}
}

// A lot that lies between the middles of pixels has no row to stand a name in;
// that once ran over the end of the picture.
func TestLotSmallerThanAPixel(t *testing.T) {
	s := scenes()["lots"]
	s.lots = []zoning.Parcel{box("Large", -280, -280, 280, 280)}
	for i := range 8 {
		x := 283 + 1.13*float64(i)
		s.lots = append(s.lots, box(fmt.Sprint(i), x, 3, x+0.1, 3.1))
	}
	g, zm := s.mapped(t)
	pg, v := placed(t, g, zm)
	require.Less(t, 0.1, v.metres)
	pg.labels(v, zm.Lots, outlinesOf(zm))
	require.Len(t, pg.names, 1)
	assert.Equal(t, "Large", pg.names[0].words)
	drawn(t, g, zm)
}

// Names stand in lots that have room for them and nowhere else.
func TestLotNames(t *testing.T) {
	s := scenes()["lots"]
	s.lots = append(s.lots[:3:3], box("Lot too small for its name", 250, 250, 262, 262), ring("Round", 200, 0, 70, 24))
	g, zm := s.mapped(t)
	pg, v := placed(t, g, zm)
	for _, lot := range zm.Lots {
		pg.labels(v, []zoning.LotMap{lot}, []orb.MultiPolygon{lot.Coverage.Outline()})
	}
	var names []string
	for _, n := range pg.names {
		names = append(names, n.words)
	}
	assert.Equal(t, []string{"Lot 1", "Lot 2", "Lot 3", "Round"}, names)
	middle := spot(pg, v, 200, 0)
	box := pg.names[3].box
	assert.InDelta(t, middle.Y, (box.Min.Y+box.Max.Y)/2, 40)
	apart(t, pg)
}
