package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// mustBeSound fails where a lot breaks what every lot promises, whatever the
// file.
func mustBeSound(t *testing.T, path string) {
	for lot, err := range Lots(t.Context(), path, Options{}) {
		if err != nil {
			return
		}
		if (lot.Err == nil) == (len(lot.Ground) == 0) {
			t.Fatalf("lot %d has %d parts and error %v", lot.Place, len(lot.Ground), lot.Err)
		}
		if lot.Lot == "" || lot.Place < 1 {
			t.Fatalf("lot %d is called %q", lot.Place, lot.Lot)
		}
		for _, poly := range lot.Ground {
			for _, ring := range poly {
				if len(ring) < 4 || ring[0] != ring[len(ring)-1] {
					t.Fatalf("ring %v", ring)
				}
				for _, p := range ring {
					if !(math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90) {
						t.Fatalf("corner %v", p)
					}
				}
			}
		}
		if reason, err := invalidity(lot.Ground); lot.Err == nil && (err != nil || reason != "") {
			t.Fatalf("%v is not valid: %s %v", lot.Ground, reason, err)
		}
	}
}

func fuzzFile(f *testing.F, name string) {
	put := inMemory(f, name)
	f.Fuzz(func(t *testing.T, data []byte) {
		mustBeSound(t, put(data))
	})
}

// inMemory gives a way to put content into one file, in memory where the system has a
// folder there: a folder and a file on disk for each input take longer than reading it.
func inMemory(f *testing.F, name string) (put func(data []byte) (path string)) {
	parent := "/dev/shm"
	if info, err := os.Stat(parent); err != nil || !info.IsDir() {
		parent = ""
	}
	dir, err := os.MkdirTemp(parent, "fuzz-*")
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { os.RemoveAll(dir) })
	path := filepath.Join(dir, name)
	return func(data []byte) string {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			panic(err)
		}
		return path
	}
}

func FuzzGeoJSON(f *testing.F) {
	f.Add([]byte(featureCollection(`{"lot":"a"}|`+polygon(boxRing), `{"lot":null}|null`)))
	f.Add([]byte(featureCollection(multiPolygon("0 0, 1 0, 1 1, 0 0", "0 0, 1 1, 0 1, 0 0"))))
	f.Add([]byte(featureCollection(polygon("0 0, 1 1, 1 0, 0 1, 0 0", "5 5, 6 5, 6 6, 5 5"))))
	f.Add([]byte(featureCollection(polygon("179 0, -179 0, -179 1, 179 1, 179 0"))))
	f.Add([]byte(featureCollection(polygon("0 89, 90 89, 180 89, -90 89, 0 89"))))
	f.Add([]byte(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"EPSG:2227"}},"features":[{"type":"Feature","properties":{"id":1},"geometry":` +
		polygon("6050000 2120000, 6052640 2120000, 6052640 2122640, 6050000 2122640, 6050000 2120000") + `}]}`))
	f.Add([]byte(`{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]},{"type":"LineString","coordinates":[[0,0],[1,0],[1,1],[0,0]]}]}`))
	f.Add([]byte(featureCollection(polygon("0 NaN, 1 0, 1 1e999, 0 0"))))
	fuzzFile(f, "a.geojson")
}

func FuzzKML(f *testing.F) {
	kml, err := os.ReadFile("testdata/lots.kml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(kml)
	f.Add([]byte(`<kml><Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>0,0 1,1 1,0 0,1</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></kml>`))
	f.Add([]byte(`<kml><Placemark><LineString><coordinates>0,0 1,0 1,1 0,0</coordinates></LineString></Placemark></kml>`))
	fuzzFile(f, "a.kml")
}

func FuzzGPX(f *testing.F) {
	f.Add([]byte(gpxFile(waypoint, route("r", boxRing), track("t", boxRing))))
	f.Add([]byte(gpxFile(track("t", "-120 45, -119.999 45", "-119.999 45.0001, -119.999 45.001, -120 45.001, -120 45.0001"))))
	f.Add([]byte(gpxFile(track("t", "0 0, 0.01 0.01, 0.01 0, 0 0.01, 0 0"), track("u", "5 5"))))
	f.Add([]byte(gpxFile(track("t", "179.995 50, -179.995 50, -179.995 50.01, 179.995 50.01, 179.995 50"))))
	f.Add([]byte(`<gpx version="1.0"><trk><trkseg><trkpt lat="nan" lon="1e999"/><trkpt lat="95" lon="-584"/></trkseg></trk></gpx>`))
	fuzzFile(f, "a.gpx")
}

// FuzzWalk reads bytes as the points of two stretches of a track, on a grid of
// 16 × 16 with 5 m from line to line.
func FuzzWalk(f *testing.F) {
	f.Add([]byte{0x00, 0xf0, 0xff}, []byte{0xff, 0x0f, 0x02})
	f.Add([]byte{0x00, 0x40, 0x44, 0x04, 0x00}, []byte{0x88, 0xc8, 0xcc, 0x8c, 0x89})
	f.Add([]byte{0x00, 0xff, 0xf0, 0x0f}, []byte{0x00})
	put := inMemory(f, "a.gpx")
	f.Fuzz(func(t *testing.T, a, b []byte) {
		if len(a) == 0 || len(b) == 0 || len(a)+len(b) > 60 {
			return
		}
		var stretches []string
		for _, points := range [][]byte{a, b} {
			line := ""
			for _, c := range points {
				line += fmt.Sprintf(", %.3f %.3f", 0.063*float64(c>>4), 0.045*float64(c&15))
			}
			stretches = append(stretches, line[2:])
		}
		mustBeSound(t, put([]byte(gpxFile(track("t", unit(stretches...)...)))))
	})
}

// FuzzRing reads bytes as the corners of a polygon with a hole, on a grid of
// 16 × 16 so that edges overlap and corners meet.
func FuzzRing(f *testing.F) {
	f.Add([]byte{0x00, 0xf0, 0xff, 0x0f}, []byte{0x44, 0x48, 0x88})
	f.Add([]byte{0x00, 0xff, 0xf0, 0x0f}, []byte{0x44, 0x48, 0xf8})
	put := inMemory(f, "a.geojson")
	f.Fuzz(func(t *testing.T, shell, hole []byte) {
		if len(shell) < 3 || len(hole) < 3 || len(shell)+len(hole) > 60 {
			return
		}
		var rings []string
		for _, corners := range [][]byte{shell, hole} {
			ring := ""
			for _, c := range append(corners[:len(corners):len(corners)], corners[0]) {
				ring += fmt.Sprintf(", %d %d", c>>4, c&15)
			}
			rings = append(rings, ring[2:])
		}
		mustBeSound(t, put([]byte(featureCollection(polygon(unit(rings...)...)))))
	})
}
