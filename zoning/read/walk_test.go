package read

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

// gpxFile is GPX 1.1 of what is given.
func gpxFile(body ...string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">` + strings.Join(body, "\n") + "</gpx>"
}

// track is a named track, its stretches written as "lon lat, lon lat", with a
// height and a time at each point.
func track(name string, stretches ...string) string {
	var b strings.Builder
	b.WriteString("<trk><name>" + name + "</name>")
	for _, s := range stretches {
		b.WriteString("<trkseg>")
		for i, xy := range strings.Split(s, ",") {
			f := strings.Fields(xy)
			fmt.Fprintf(&b, `<trkpt lat="%s" lon="%s"><ele>%d</ele><time>2024-05-01T08:%02d:00Z</time></trkpt>`, f[1], f[0], 500+i, i%60)
		}
		b.WriteString("</trkseg>")
	}
	return b.String() + "</trk>"
}

func route(name, points string) string {
	var b strings.Builder
	b.WriteString("<rte><name>" + name + "</name>")
	for _, xy := range strings.Split(points, ",") {
		f := strings.Fields(xy)
		fmt.Fprintf(&b, `<rtept lat="%s" lon="%s"/>`, f[1], f[0])
	}
	return b.String() + "</rte>"
}

const waypoint = `<wpt lat="45.0005" lon="-119.9995"><ele>3</ele><name>gate</name></wpt>`

func TestWalkedBoundaries(t *testing.T) {
	// A degree is 111 131.8 m along the meridian at 45 N and 78 846.8 m along
	// the parallel (Snyder 1987, table 3: 111 132 and 78 847), so that 0.0002
	// degrees of latitude are 22.23 m, 73 ft, and 0.0003 are 33.34 m, 109 ft.
	for _, c := range []struct {
		about, file string
		o           Options
		m2          float64
		notes       []string
		err         string
	}{
		{"closed", track("A", boxRing), Options{}, boxM2, nil, ""},
		{"a route", route("A", boxRing), Options{}, boxM2, nil, ""},
		{"standing still", track("A", "-120 45, -120 45, -120 45, -119.999 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45, -120 45"), Options{}, boxM2, nil, ""},
		{"73 ft short", track("A", "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45.0002"), Options{}, boxM2,
			[]string{"its track did not come back to where it began: closed by a straight edge of 73 ft"}, ""},
		{"a route of its corners", route("A", "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45.0002"), Options{}, boxM2,
			[]string{"its route did not come back to where it began: closed by a straight edge of 73 ft"}, ""},
		{"an inch short", track("A", "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45.0000002"), Options{}, boxM2,
			[]string{"its track did not come back to where it began: closed by a straight edge of less than 1 ft"}, ""},
		{"109 ft short", track("A", "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45.0003"), Options{}, 0, nil,
			"its track ends 109 ft from where it began, and no more than 98 ft is closed: walk the line to its end, or take out the ways to and from the lot"},
		{"109 ft short, allowed", track("A", "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45.0003"), Options{CloseM: 34}, boxM2,
			[]string{"its track did not come back to where it began: closed by a straight edge of 109 ft"}, ""},
		{"73 ft short, not allowed", track("A", "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45.0002"), Options{CloseM: 22}, 0, nil,
			"its track ends 73 ft from where it began, and no more than 72 ft is closed"},
		// 0.0003 × 0.0002 degrees: three sides of 23.65, 22.23 and 23.65 m.
		{"three sides", track("A", "-120 45, -119.9997 45, -119.9997 45.0002, -120 45.0002"), Options{}, 0, nil,
			"its track of 228 ft ends 73 ft from where it began, and no more than a fifth of the way is closed: walk the line to its end"},
		{"two stretches", track("A", "-120 45, -119.999 45, -119.999 45.0004", "-119.999 45.0005, -119.999 45.001, -120 45.001, -120 45"), Options{}, boxM2,
			[]string{"its 2 stretches were joined by straight edges, the longest 36 ft"}, ""},
		{"two stretches, not closed", track("A", "-120 45, -119.999 45, -119.999 45.0004", "-119.999 45.0005, -119.999 45.001, -120 45.001, -120 45.0002"), Options{}, boxM2,
			[]string{"its 2 stretches were joined by straight edges, the longest 36 ft", "its track did not come back to where it began: closed by a straight edge of 73 ft"}, ""},
		{"a stretch is missing", track("A", "-120 45, -119.999 45, -119.999 45.0004", "-119.999 45.0008, -119.999 45.001, -120 45.001, -120 45"), Options{}, 0, nil,
			"its track breaks off for 146 ft between its stretches 1 and 2 of 2, and no more than 98 ft is joined: walk what is missing, or take out the stretches that are no boundary"},
		{"two parts", track("A", boxRing, "-119.998 45, -119.997 45, -119.997 45.001, -119.998 45.001, -119.998 45"), Options{}, 2 * boxM2, nil, ""},
		{"one point", track("A", "-120 45"), Options{}, 0, nil, "encloses no ground: a boundary needs at least three corners"},
		{"a line", track("A", "-120 45, -119.999 45, -119.999 45.001"), Options{}, 0, nil, "its track ends 447 ft from where it began"},
		{"there and back", track("A", "-120 45, -119.999 45, -120 45"), Options{}, 0, nil, "encloses no ground: a boundary needs at least three corners"},
		{"a figure of eight", track("A", "-120 45, -119.999 45.001, -119.999 45, -120 45.001, -120 45"), Options{}, 0, nil,
			"its boundary crosses or touches itself near 45.000500 N, 119.999500 W; of 1.08 acres in 2 pieces 0.54 lie beside the largest, and more than 1% is not ours to decide: take out the ways to and from the lot, or draw it again"},
		// 0.2 × 0.25 of the box walked round twice.
		{"a tangle", track("A", unit("0 0, 1 0, 1 1, 0.4 1, 0.4 0.8, 0.6 0.8, 0.6 1.05, 0 1.05, 0 0")...), Options{}, 0, nil,
			"a repair would change 0.09 of 2.23 acres (3.9%), and more than 1% is not ours to decide: draw it again"},
		{"a curl", track("A", unit("0 0, 1 0, 1 1, 0.45 1, 0.45 0.95, 0.55 0.95, 0.55 1.05, 0 1.05, 0 0")...), Options{},
			coverage.AreaM2(box(-120, 45, -119.999, 45.001)) + coverage.AreaM2(box(-120, 45.001, -119.99945, 45.00105)),
			[]string{"its boundary crosses or touches itself near 45.001000 N, 119.999450 W: repaired, which changed 0.01 of 2.22 acres"}, ""},
		{"beyond a pole", track("A", "-120 45, -119 95, -118 45, -120 45"), Options{}, 0, nil, "is not in degrees"},
		{"no figures", track("A", "-120 45, nan 45, -118 45, -120 45"), Options{}, 0, nil, "is not a number"},
	} {
		t.Run(c.about, func(t *testing.T) {
			lot := readOne(t, write(t, "walk.gpx", gpxFile(c.file)), c.o)
			requireSound(t, lot)
			assert.Equal(t, "A", lot.Lot)
			if c.err != "" {
				require.ErrorContains(t, lot.Err, "walk.gpx: lot A: ")
				require.ErrorContains(t, lot.Err, c.err)
				return
			}
			require.NoError(t, lot.Err)
			assert.InDelta(t, c.m2, coverage.AreaM2(lot.Ground), 2*boxM2Delta)
			assert.Equal(t, c.notes, lot.Notes)
		})
	}
}

func TestLotsOfAWalk(t *testing.T) {
	file := gpxFile(waypoint, waypoint, route("South", boxRing), track("North", boxRing), track("", boxRing),
		track("Road", "-120 45, -119.99 45"), "<trk><name>empty</name></trk>", track("North", boxRing))
	lots, err := Read(t.Context(), write(t, "a.gpx", "\xef\xbb\xbf"+file), Options{})
	require.NoError(t, err)
	require.Len(t, lots, 5)
	requireSound(t, lots...)
	var names []string
	for i, l := range lots {
		names = append(names, l.Lot)
		assert.Equal(t, i+1, l.Place)
	}
	assert.Equal(t, []string{"South", "North", "3", "Road", "North"}, names)
	const again = "its ground is that of lot 1 of the file, too: sums count it again"
	const leftOut = "left out of the file as no boundary: 2 waypoints and 1 feature without geometry" // is told of each
	assert.Equal(t, []string{"it has no name in the file and is called by its place, 3", again, leftOut}, lots[2].Notes)
	assert.ErrorContains(t, lots[3].Err, "a.gpx: lot Road: its track ends 2587 ft from where it began")
	assert.Equal(t, []string{`the name "North" is that of lot 2 of the file, too`, again, leftOut}, lots[4].Notes)

	assert.Equal(t, "South", readOne(t, write(t, "a.gpx", file), Options{Layer: "routes"}).Lot)
	_, err = Read(t.Context(), write(t, "a.gpx", file), Options{Layer: "track_points"})
	assert.ErrorContains(t, err, `has no layer "track_points": its layers are waypoints, routes, tracks`)
	_, err = Read(t.Context(), write(t, "a.gpx", gpxFile(waypoint)), Options{})
	assert.ErrorContains(t, err, "holds 1 waypoint; a parcel needs a track or a route that comes back to its start")
}

func TestWalkOptions(t *testing.T) {
	file := write(t, "a.gpx", gpxFile(track("A", boxRing)))
	assert.NoError(t, readOne(t, file, Options{CRS: "EPSG:4326"}).Err)
	_, err := Read(t.Context(), file, Options{CRS: "EPSG:2227"})
	assert.ErrorContains(t, err, "a.gpx: is GPX, whose coordinates are WGS 84 by its own definition: leave out parcel-crs")
	for _, bad := range []float64{-1, math.NaN()} {
		_, err = Read(t.Context(), file, Options{CloseM: bad})
		assert.ErrorContains(t, err, "cannot be closed: give meters, or 0 for 30")
	}
}

func TestWalkAcrossTheAntimeridian(t *testing.T) {
	lot := readOne(t, write(t, "a.gpx", gpxFile(track("A", "179.995 50, -179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50.0002"))), Options{})
	require.NoError(t, lot.Err)
	requireSound(t, lot)
	assert.InEpsilon(t, seamBoxM2, coverage.AreaM2(lot.Ground), 1e-8)
	assert.Equal(t, []string{
		"its track did not come back to where it began: closed by a straight edge of 73 ft",
		"it crosses the antimeridian (180 degrees) and was cut in two there",
	}, lot.Notes)
}

// A walk with a metre of jitter about the box keeps its acres: each of some 380
// points moves a metre of edge by 1 m (one sigma, each way).
func TestJitter(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var points []string
	corners := box(-120, 45, -119.999, 45.001)[0][0]
	for i := 1; i < len(corners); i++ {
		for step := range 95 {
			f := float64(step) / 95
			points = append(points, fmt.Sprintf("%.9f %.9f",
				corners[i-1][0]+f*(corners[i][0]-corners[i-1][0])+r.NormFloat64()/78846.8,
				corners[i-1][1]+f*(corners[i][1]-corners[i-1][1])+r.NormFloat64()/111131.8))
		}
	}
	lot := readOne(t, write(t, "a.gpx", gpxFile(track("A", strings.Join(points, ", ")))), Options{})
	require.NoError(t, lot.Err)
	requireSound(t, lot)
	// Five sigma of √380 m².
	assert.InDelta(t, boxM2, coverage.AreaM2(lot.Ground), 100)
	assert.Contains(t, strings.Join(lot.Notes, "; "), "its boundary crosses or touches itself")
}

func TestDamagedWalk(t *testing.T) {
	whole := gpxFile(track("A", boxRing))
	_, err := Read(t.Context(), write(t, "a.gpx", whole[:len(whole)-20]), Options{})
	assert.ErrorContains(t, err, "a.gpx: cannot be read as GPX: ")
	// An entity that grows tenfold at each of nine steps.
	laugh := `<!DOCTYPE gpx [<!ENTITY a "ha">`
	for c := 'b'; c < 'k'; c++ {
		laugh += fmt.Sprintf(`<!ENTITY %c "%s">`, c, strings.Repeat(fmt.Sprintf("&%c;", c-1), 10))
	}
	_, err = Read(t.Context(), write(t, "a.gpx", `<?xml version="1.0"?>`+laugh+`]><gpx version="1.1"><trk><name>&j;</name></trk></gpx>`), Options{})
	assert.ErrorContains(t, err, "cannot be read as GPX: ")
	_, err = Read(t.Context(), write(t, "a.gpx", `<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]>`+
		gpxFile(track("&x;", boxRing))[len(`<?xml version="1.0" encoding="UTF-8"?>`):]), Options{})
	assert.ErrorContains(t, err, "it declares entities of its own")
}
