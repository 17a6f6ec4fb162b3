package sheet

import (
	"fmt"
	"image"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// flowing is every text of a page, in the order it was placed, on one line.
func (p *page) flowing() string {
	return strings.Join(strings.Fields(p.words()), " ")
}

// warned gives a map all that a table tells, and n warnings.
func warned(zm *zoning.ZoneMap, n int) *zoning.ZoneMap {
	zm.Scale = "machine: plane over 3 × 3 cells, 3 × 3 m"
	zm.Error = zoning.ElevationError{SigmaM: 0.1, From: "--elevation-error", Cautious: true}
	zm.Boundary = "a line from a tax map, good to 10 m"
	zm.Lots[0].EdgeAcres = 1.25
	zm.Sources = []terrain.Source{
		{Path: "/data/of/somebody/north_1m.tif", CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "band unit"},
		{Path: `C:\tiles\south_1m.tif`, CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "band unit"},
	}
	for i := range n {
		zm.Warnings = append(zm.Warnings, fmt.Sprintf("number %d of the warnings, which says at some length that %d.0 acres of the parcel lie off the elevation and have no slope", i+1, i+1))
	}
	return zm
}

// The picture is what goes to the crew: it once said one line of what the table
// warns of.
func TestPictureSaysWhatTheTableSays(t *testing.T) {
	for name, s := range scenes() {
		for _, n := range []int{0, 1, 2, 8} {
			g, zm := s.mapped(t)
			warned(zm, n)
			pg, _ := placed(t, g, zm)
			apart(t, pg)
			said := pg.flowing()
			for _, w := range zm.Warnings {
				assert.Contains(t, said, w, name)
			}
			for _, c := range cautionsOf(totalsOf(zm), zm) {
				assert.Contains(t, said, c, name)
			}
			assert.Contains(t, said, "Elevation: north_1m.tif, south_1m.tif: 1.0 m cells", name)
			assert.NotContains(t, said, "somebody", "folders are not for the crew")
			assert.Contains(t, said, "Slope: "+zm.Scale, name)
			assert.Contains(t, said, "Error: sure at 90%, with heights good to 0.1 m: --elevation-error; zones are drawn inside their limits", name)
			assert.Contains(t, said, "Boundary: a line from a tax map, good to 10 m: 1.2", name)
			assert.NotContains(t, said, "more: see")
		}
	}
}

// Warnings stand above cautions and are bold.
func TestWarningsComeFirst(t *testing.T) {
	for _, name := range []string{"hills", "tall", "ridge", "fourteen"} {
		g, zm := scenes()[name].mapped(t)
		pg, _ := placed(t, g, warned(zm, 3))
		lowest, highest := 0, pg.size.Y
		first := func(all []string, word string) bool {
			for _, s := range all {
				if strings.HasPrefix(s, word) {
					return true
				}
			}
			return false
		}
		for _, x := range pg.texts {
			if x.style == smallBoldStyle {
				assert.Equal(t, palette.Ink, x.colour)
				lowest = max(lowest, x.box.Max.Y)
			}
			if x.style == smallStyle && len(x.words) > 20 && first(zm.Cautions, x.words) {
				highest = min(highest, x.box.Min.Y)
			}
		}
		require.Positive(t, lowest)
		assert.Less(t, lowest, highest, name)
	}
}

// Remarks fill the white space under the legend as far as they go there.
func TestRemarksBesideTheGround(t *testing.T) {
	for _, c := range []struct {
		scene             string
		warnings          int
		warned, cautioned bool // beside the ground, not under it
	}{{"tall", 2, true, true}, {"hills", 1, true, false}, {"hills", 8, false, false}} {
		g, zm := scenes()[c.scene].mapped(t)
		for i := range c.warnings {
			zm.Warnings = append(zm.Warnings, fmt.Sprintf("number %d says something of two or three lines, as most warnings on real ground do", i))
		}
		pg, _ := placed(t, g, zm)
		apart(t, pg)
		for _, x := range pg.texts {
			if x.words == "warnings" {
				assert.Equal(t, c.warned, x.at.X > pg.ground.Max.X && x.at.Y < pg.ground.Max.Y, c.scene)
			}
			if x.words == "cautions" {
				assert.Equal(t, c.cautioned, x.at.X > pg.ground.Max.X && x.at.Y < pg.ground.Max.Y, c.scene)
			}
		}
	}
}

// Very many warnings do not bury the map, and those left out are counted.
func TestManyWarningsAreCounted(t *testing.T) {
	g, zm := scenes()["lots"].mapped(t)
	warned(zm, 30)
	zm.Lots[3].Notes = []string{"a bow-tie was repaired", "a part of no ground was left out"}
	pg, _ := placed(t, g, zm)
	apart(t, pg)
	said := pg.flowing()
	assert.Contains(t, said, zm.Warnings[7])
	assert.NotContains(t, said, "number 9 of")
	assert.Contains(t, said, "24 more: see zones.geojson")

	// Rasters by the hundred: four named, the others counted.
	for range 98 {
		zm.Sources = append(zm.Sources, zm.Sources[0])
	}
	pg, _ = placed(t, g, zm)
	assert.Contains(t, pg.flowing(), "north_1m.tif, south_1m.tif, north_1m.tif, north_1m.tif and 96 more: 1.0 m cells")

	// What was said about a lot's boundary is a warning too.
	g, zm = scenes()["hills"].mapped(t)
	zm.Lots[0].Notes = []string{"a bow-tie was repaired"}
	pg, _ = placed(t, g, zm)
	assert.Contains(t, pg.flowing(), "Tarn Hollow: a bow-tie was repaired")
}

// The map keeps its size whatever is said below it: the page grows.
func TestPageGrows(t *testing.T) {
	for _, name := range []string{"hills", "thin", "fourteen-wide"} {
		g, zm := scenes()[name].mapped(t)
		zm.Cautions = nil
		zm.Fleet = append([]zoning.Machine(nil), zm.Fleet...)
		for i := range zm.Fleet {
			zm.Fleet[i].Caution = ""
		}
		plain, _ := placed(t, g, zm)
		zm.Warnings = []string{strings.Repeat("one warning of great length without an end ", 90)}
		full, _ := placed(t, g, zm)
		apart(t, full)
		assert.Equal(t, plain.ground, full.ground)
		assert.Greater(t, full.size.Y, plain.size.Y)
		assert.Equal(t, plain.size.X, full.size.X)
		assert.True(t, image.Rectangle{Max: plain.size}.In(image.Rectangle{Max: full.size}))
		assert.Equal(t, 90, strings.Count(full.flowing(), "of great length"))
	}
}
