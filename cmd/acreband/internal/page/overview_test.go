package page

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/write"
)

// The sheet of many lots is read in a browser too, by the same readers: axe-core finds
// nothing, on a desk and on a phone, and the page fetches nothing and fits the screen.
func TestBrowserSheetOfManyLots(t *testing.T) {
	machines := fleet.Default()
	o, sums := sheet.NewOverview(machines), write.NewCollection(machines)
	var lots []sheet.OverviewLot
	for i := range 24 {
		x, y := -84+0.002*float64(i%6), 36+0.002*float64(i/6)
		lot := sheet.OverviewLot{
			LotMap:  zoning.LotMap{Lot: fmt.Sprint(i + 1), Place: i + 1, Acres: 1, Zones: []zoning.Zone{{Band: i % 4, Acres: 0.7}, {Band: 4, Acres: 0.3}}},
			Outline: orb.MultiPolygon{{{{x, y}, {x + 0.0019, y}, {x + 0.0019, y + 0.0019}, {x, y + 0.0019}, {x, y}}}}, Hazards: i,
		}
		if i == 5 {
			lot.Failure = "no elevation"
		} else {
			sums.Add(&zoning.ZoneMap{Fleet: machines, Lots: []zoning.LotMap{lot.LotMap}, Cautions: zoning.Cautions(measure.US), Warnings: []string{"made up"}})
		}
		o.Add(lot)
		lots = append(lots, lot)
	}
	run := sheet.Run{Sum: sums.Sum(), Cover: "light", Rounds: []sheet.Round{{Machine: machines[0].Name, Lots: 2, Acres: 1.4, Days: 1,
		RoundM: 400, AtLeastM: 390, Stops: []sheet.Stop{{Lot: "1", Acres: 0.7, Days: 0.5}, {Lot: "5", Acres: 0.7, Days: 0.5}}}}}
	var page bytes.Buffer
	require.NoError(t, o.WriteHTML(&page, run, func(yield func(sheet.OverviewLot, error) bool) {
		for _, l := range lots {
			if !yield(l, nil) {
				return
			}
		}
	}))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" { // browsers ask for an icon
			w.WriteHeader(http.StatusNoContent)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write(page.Bytes())
	}))
	defer server.Close()
	for _, width := range []int64{1280, 390} {
		b := browse(t, server.URL, width, 900)
		b.accessible()
		assert.Equal(t, "true", b.value("document.documentElement.scrollWidth <= innerWidth"), "nothing sticks out at %d", width)
		b.clean()
		b.shot(fmt.Sprint("overview-", width))
	}
}
