package sheet

import (
	"html"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// attribute is what an element of a page has under a name.
func attribute(t *testing.T, element, name string) string {
	found := regexp.MustCompile(`\s` + name + `="([^"]*)"`).FindStringSubmatch(element)
	require.NotNil(t, found, "%s in %s", name, element)
	return html.UnescapeString(found[1])
}

// Every check can be typed at: its name, where one stands, and what a reading must stay
// below, which a tie does not.
func TestHTMLTakesReadingsAtEachCheck(t *testing.T) {
	p := jobPage(t)
	page := string(written(t, p.WriteHTML))
	checks := regexp.MustCompile(`(?s)<li class="check".*?</li>`).FindAllString(page, -1)
	require.Len(t, checks, 2)
	assert.Equal(t, "S01", attribute(t, checks[0], "data-id"))
	assert.Equal(t, "29.98", attribute(t, checks[0], "data-below"))
	assert.Equal(t, "30%", attribute(t, checks[0], "data-limit"))
	words := htmlWords([]byte(checks[0]))
	assert.Contains(t, words, "S01 Track loader; stand at 0.00018 N, 0.00054 W; mapped 28.0%; limit 30%. Measure straight up and down over 10 ft, a machine's length. Downhill bears 180° true.")
	assert.Contains(t, words, "Slope at S01, such as 32% or 18deg Note at S01")

	// Nobody is sent onto the spot that is sighted: its place is that of who sights it.
	assert.Empty(t, attribute(t, checks[1], "data-below"), "no machine's ground")
	assert.Contains(t, htmlWords([]byte(checks[1])), "stand at 0.00054 N, 0.00099 E")
	assert.Contains(t, htmlWords([]byte(checks[1])), "Do not walk onto it.")
	for i, s := range p.Checks.Spots {
		assert.Equal(t, strconv.FormatFloat(s.Stand()[0], 'g', -1, 64), attribute(t, checks[i], "data-lon"))
		assert.Equal(t, strconv.FormatFloat(s.Stand()[1], 'g', -1, 64), attribute(t, checks[i], "data-lat"))
	}
	p.Checks = nil
	assert.NotContains(t, string(written(t, p.WriteHTML)), `id="readings"`)
}

// What the script is told of places is what the map is drawn with.
func TestHTMLTellsWherePlacesLie(t *testing.T) {
	p := jobPage(t)
	p, totals, err := p.ready(false)
	require.NoError(t, err)
	maps, err := newJobMap(p, totals, 400, 300)
	require.NoError(t, err)
	m, place := maps.panes[0].groundMap, maps.places()[0]
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	for _, at := range []orb.Point{degrees(0, 0), degrees(-90, 40), degrees(120, -77)} {
		drawn := m.at(at)
		assert.InDelta(t, drawn.X, number(place.X)+(at[0]-number(place.Lon))*number(place.PerLon), 1e-6)
		assert.InDelta(t, drawn.Y, number(place.Y)-(at[1]-number(place.Lat))*number(place.PerLat), 1e-6)
	}
	east, west := m.at(degrees(100, 0)), m.at(degrees(0, 0))
	assert.InDelta(t, 100, (east.X-west.X)*number(place.Meters), 0.5)
}

// Without a script, and on paper, the sheet is what it was.
func TestFieldPartsAreOfTheScreenAlone(t *testing.T) {
	page := string(written(t, jobPage(t).WriteHTML))
	for _, id := range []string{"place-on-map", "readings"} {
		element := regexp.MustCompile(`<[a-z]+ id="` + id + `"[^>]*>`).FindString(page)
		assert.Contains(t, element, " hidden>", "the script shows it")
		assert.Contains(t, strings.Fields(attribute(t, element, "class")), "screen", "paper leaves it out")
	}
	assert.Contains(t, page, `<g id="standing-mark" class="over screen" aria-hidden="true">`)
}

// Readings of one job are not taken for another's: checks of the same names that lie
// elsewhere have another store.
func TestReadingsAreKeptByJob(t *testing.T) {
	p := jobPage(t)
	first := p.readings("Tarn Hollow").Job
	assert.Equal(t, first, p.readings("Tarn Hollow").Job)
	assert.NotEqual(t, first, p.readings("Mill Lot").Job)
	p.Checks.Spots[0].At = degrees(-61, 20)
	assert.NotEqual(t, first, p.readings("Tarn Hollow").Job)
}

// Names of checks and lots come from files.
func TestHTMLEscapesChecks(t *testing.T) {
	p := jobPage(t)
	p.Checks.Spots[0].ID = `S"><img src=x onerror=alert(5)>`
	p.Map.Fleet[0].Name = `</p><script>alert(6)</script>`
	page := string(written(t, p.WriteHTML))
	assert.Equal(t, 1, strings.Count(page, "<script"))
	assert.Zero(t, strings.Count(page, "<img"))
	assert.Contains(t, page, `data-id="S&#34;&gt;&lt;img src=x onerror=alert(5)&gt;"`)
}
