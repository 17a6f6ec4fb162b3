package page

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// threeLots are lots of 5.6 acres each, one of two parts.
func threeLots(t *testing.T) string {
	t.Helper()
	return features(t, `{"lot":"North"}`, square(t, 96, 96, 150), `{"lot":"South"}`, square(t, 96, 300, 150),
		`{"lot":"Two parts"}`, orb.MultiPolygon{square(t, 320, 96, 106), square(t, 320, 300, 106)})
}

func figure(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.NewReplacer("$", "", ",", "").Replace(text), 64)
	require.NoError(t, err)
	return v
}

// A job of several lots told its acres, hours and price as one.
func TestEachLotHasItsFigures(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("lots.geojson", []byte(threeLots(t)))
	require.Len(t, a.Lots, 3)
	var zones []zone
	for _, z := range a.Zones {
		if z.Ground {
			zones = append(zones, z)
		}
	}
	sums := make([]float64, len(zones))
	hours, price := 0.0, 0.0
	for _, l := range a.Lots {
		require.Len(t, l.Zones, len(zones))
		acres := 0.0
		for i, z := range l.Zones {
			if z != "" {
				acres += figure(t, z)
				sums[i] += figure(t, z)
			}
		}
		assert.InDelta(t, figure(t, l.Acres), acres, 0.05*float64(len(zones)), l.Name)
		assert.InDelta(t, 5.6, figure(t, l.Acres), 0.06, l.Name)
		hours, price = hours+figure(t, l.Hours), price+figure(t, l.Price)
	}
	for i, z := range zones {
		assert.InDelta(t, figure(t, z.Acres), sums[i], 0.2, z.Name)
	}
	rung := chosenRung(s.kept(a.ID).latest().Plan)
	assert.InDelta(t, rung.PriceUSD, price, 2)
	scheduled := 0.0
	for _, task := range rung.Tasks {
		scheduled += task.ScheduledH
	}
	assert.InDelta(t, scheduled, hours, 2)
	assert.Len(t, a.Lots[2].Outlines, 2)
	for i, l := range a.Lots {
		inside := false
		for _, o := range l.Outlines {
			inside = inside || planar.RingContains(orb.Ring(o), orb.Point(l.At))
		}
		assert.True(t, inside, "lot %d", i)
	}
	assert.Empty(t, s.mapped("quarry.geojson", parcel(t)).Lots, "one lot is the job itself")
	assert.Empty(t, serve(t).mapped("lots.geojson", []byte(threeLots(t))).Lots[0].Price, "no price is told where there is none")
}

// Lots of one name are told apart by their place; the plan cannot, so that no hours are told.
func TestLotsOfOneNameTellNoHours(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("lots.geojson", []byte(strings.ReplaceAll(threeLots(t), "South", "North")))
	require.Len(t, a.Lots, 3)
	assert.Empty(t, a.Lots[0].Hours)
	assert.NotEqual(t, a.Lots[0].At, a.Lots[1].At)
}

func TestALongOutlineIsShortened(t *testing.T) {
	ring := orb.Ring{}
	for i := range 4000 {
		y := float64(i%2) / 100
		ring = append(ring, orb.Point{-84 + float64(i)/1000, 36 + y})
	}
	ring = append(ring, orb.Point{-82, 37}, ring[0])
	got := outline(ring)
	assert.LessOrEqual(t, len(got), outlineCorners)
	assert.Equal(t, got[0], got[len(got)-1])
}

// A row marks its lot, which is brought into sight; its name stands on the map.
func TestBrowserLots(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("lots.geojson", []byte(threeLots(t)))
	b.painted("0")
	assert.Equal(t, "3 lots", b.text("name"))
	assert.Equal(t, "North|South|Two parts", b.value(`[...document.querySelectorAll(".lot-label")].map((e) => e.textContent).join("|")`))
	b.click("#tab-lots")
	assert.Contains(t, b.text("lots-head"), "Share of the price")
	b.click("#lots-rows tr:nth-child(2) td")
	assert.Equal(t, "South", b.value(`document.querySelector("#lots-rows [aria-pressed=true]").textContent`))
	assert.Equal(t, "2", b.value(`document.querySelectorAll("#map path[stroke-width='5'], #map path[stroke-width='9']").length`))
	b.accessible()
	b.roomy()
	b.shot("47-lots")
	b.seen("#map")
	b.seen("#says")
	assert.Equal(t, "true", b.value(`document.getElementById("map").getBoundingClientRect().height >= 230`))

	// With keys: the tabs and a row.
	b.click("#tab-machines")
	b.press(kb.ArrowDown)
	assert.Equal(t, "tab-lots", b.value(`document.activeElement.id`))
	b.do(focus("#lots-rows tr:nth-child(3) button"))
	b.press(kb.Enter)
	assert.Equal(t, "Two parts", b.value(`document.querySelector("#lots-rows [aria-pressed=true]").textContent`))

	// One lot has no table.
	b.drop("quarry.geojson", parcel(t))
	b.until(`document.getElementById("replacing").open`)
	b.click("#replace")
	b.until(`document.getElementById("name").textContent === "Quarry Lot"`)
	assert.Equal(t, "true,true", b.value(`[document.getElementById("tab-lots").hidden, document.getElementById("lots").hidden].join()`))
	b.clean()
}
