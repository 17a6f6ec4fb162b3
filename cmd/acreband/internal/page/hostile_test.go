package page

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func compressed(t *testing.T) int {
	var size int
	require.NoError(t, fs.WalkDir(static, "static", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := static.ReadFile(path)
		if err != nil {
			return err
		}
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		if _, err := w.Write(data); err != nil {
			return err
		}
		size += b.Len()
		return w.Close()
	}))
	return size
}

const kmlHead = `<kml xmlns="http://www.opengis.net/kml/2.2"><Document>`

// kml is a parcel in KML, with something before its root and in its name.
func kml(t *testing.T, prolog, name string) string {
	ring := ""
	for _, p := range onGround(t, orb.Point{96, 96}, orb.Point{96, 523}, orb.Point{523, 523}, orb.Point{523, 96}, orb.Point{96, 96}) {
		ring += fmt.Sprintf("%.7f,%.7f,0 ", p[0], p[1])
	}
	return `<?xml version="1.0" encoding="UTF-8"?>` + prolog + kmlHead + `<Placemark><name>` + name +
		`</name><Polygon><outerBoundaryIs><LinearRing><coordinates>` + ring + `</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Document></kml>`
}

// packedFiles makes a zip; name, content, name, content.
func packedFiles(t *testing.T, files ...string) string {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		h := &zip.FileHeader{Name: files[i], Method: zip.Deflate}
		if strings.HasPrefix(files[i+1], "LINK ") {
			h.SetMode(fs.ModeSymlink | 0o777)
		}
		f, err := w.CreateHeader(h)
		require.NoError(t, err)
		_, err = io.WriteString(f, strings.TrimPrefix(files[i+1], "LINK "))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.String()
}

// utf16 writes text as UTF-16, big-endian.
func utf16(text string) string {
	b := []byte{0xFE, 0xFF}
	for _, c := range []byte(text) {
		b = append(b, 0, c)
	}
	return string(b)
}

// What a dropped file may try, and what it is told. None may read another file: the
// secret is a boundary with a name that would show, and a CRS far from the right one.
func TestHostileFiles(t *testing.T) {
	temp := t.TempDir()
	elevation(t) // made before the folder of temporary files is watched
	t.Setenv("TMPDIR", temp)
	elsewhere := t.TempDir()
	secret := filepath.Join(elsewhere, "secret.kml")
	require.NoError(t, os.WriteFile(secret, []byte(kml(t, "", "SECRET")), 0o666))
	wkt := filepath.Join(elsewhere, "secret.wkt")
	require.NoError(t, os.WriteFile(wkt, []byte(`GEOGCS["SECRET",DATUM["d",SPHEROID["s",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`), 0o666))
	var asked atomic.Int32
	web := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked.Add(1) }))
	defer web.Close()
	s := serve(t, func(c *Config) { c.Limits = Limits{UploadBytes: 4 << 20, UnpackedBytes: 8 << 20} })
	crs := func(member string) string {
		return strings.Replace(string(parcel(t)), `"features"`, `"crs":`+member+`,"features"`, 1)
	}
	zeros := strings.Repeat("\x00", 30<<20)
	var bomb strings.Builder
	bomb.WriteString(`<!DOCTYPE kml [<!ENTITY a0 "x">`)
	for i := range 20 {
		fmt.Fprintf(&bomb, `<!ENTITY a%d "&a%d;&a%d;&a%d;&a%d;">`, i+1, i, i, i, i)
	}
	bomb.WriteString(`]>`)
	entity := `<!DOCTYPE kml [<!ENTITY e SYSTEM "file://` + secret + `">]>`
	for _, c := range []struct{ name, file, content, words string }{
		{"a virtual format", "x.vrt", `<OGRVRTDataSource><OGRVRTLayer name="l"><SrcDataSource>` + secret + `</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>`, "in no format known here"},
		{"a virtual format named KML", "x.kml", `<OGRVRTDataSource><!-- <kml --><OGRVRTLayer name="secret"><SrcDataSource>` + secret + `</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>`, "cannot be read as KML"},
		{"a database's address", "x.geojson", `PG:host=127.0.0.1`, "in no format known here"},
		{"a path for content", "x.geojson", "/vsicurl/" + web.URL + "/a.geojson", "in no format known here"},
		{"an entity that is a file", "x.kml", kml(t, entity, "&e;"), "declares a document type or entities"},
		{"entities that swell", "x.kml", kml(t, bomb.String(), "&a20;"), "declares a document type or entities"},
		{"behind a comment that seems closed", "x.kml", kml(t, `<!--> <a b=" -->`+entity+`<!-- " > -->`, "&e;"), "declares a document type or entities"},
		{"in two bytes a letter", "x.kml", utf16(kml(t, entity, "&e;")), "in no format known here"},
		{"in two bytes a letter, packed", "x.kmz", packedFiles(t, "doc.kml", utf16(kml(t, entity, "&e;"))), "two bytes a letter"},
		{"an entity, packed", "x.kmz", packedFiles(t, "doc.kml", kml(t, entity, "&e;")), "doc.kml in it: it declares"},
		{"deep KML", "x.kml", kmlHead + strings.Repeat("<Folder>", 100_000), "nested more than 64 deep"},
		{"deep GPX", "x.gpx", `<gpx version="1.1"><trk><extensions>` + strings.Repeat("<a>", 100_000), "nested more than 64 deep"},
		{"deep GeoJSON", "x.geojson", `{"a":` + strings.Repeat("[", 100_000), "cannot be read as GeoJSON"},
		{"a zip bomb", "x.zip", packedFiles(t, "a.shp", zeros), "unpacks to more than is taken"},
		{"many small ones", "x.zip", packedFiles(t, slicesOf(200)...), "it holds 200 files; at most 100"},
		{"out of the folder", "x.zip", packedFiles(t, "../../evil.shp", "x"), `the name "../../evil.shp" in it`},
		{"out of the folder, the other way", "x.zip", packedFiles(t, `a\..\evil.shp`, "x"), "is not that of a file in a zip"},
		{"an absolute name", "x.zip", packedFiles(t, "/etc/evil.shp", "x"), "is not that of a file in a zip"},
		{"a link", "x.kmz", packedFiles(t, "doc.kml", "LINK "+secret), "doc.kml in it is a link"},
		{"one name twice", "x.kmz", packedFiles(t, "doc.kml", kml(t, "", "a"), "DOC.KML", kml(t, "", "b")), "holds DOC.KML twice"},
		{"nothing of use", "x.zip", packedFiles(t, "a.vrt", "<OGRVRTDataSource/>"), "without a shapefile or KML"},
		{"a broken zip", "x.zip", "PK\x03\x04 nothing", "damaged zip"},
		{"a CRS from an address", "x.geojson", crs(`{"type":"link","properties":{"href":"` + web.URL + `/crs","type":"ogcwkt"}}`), "cannot be read: name it with"},
		{"a CRS from a file's address", "x.geojson", crs(`{"type":"link","properties":{"href":"file://` + wkt + `","type":"ogcwkt"}}`), "cannot be read: name it with"},
		{"a CRS named by a path", "x.geojson", crs(`{"type":"name","properties":{"name":"` + wkt + `"}}`), "cannot be read: name it with"},
		{"a CRS named by an address", "x.geojson", crs(`{"type":"name","properties":{"name":"` + web.URL + `"}}`), "cannot be read: name it with"},
		{"a broken database", "x.gpkg", "SQLite format 3\x00 nothing", "damaged GeoPackage"},
		{"a shapefile by itself", "x.shp", "\x00\x00\x27\x0a", "drop its .shx, .dbf and .prj with it"},
		{"nothing", "x.geojson", " \n", "is empty"},
		{"a picture", "x.png", "\x89PNG\r\n\x1a\n", "in no format known here"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for as, send := range map[string]func() (int, []byte){
				"a boundary":     func() (int, []byte) { return s.drop(boundaryPart, c.file, c.content) },
				"whatever it is": func() (int, []byte) { return s.load(c.file, c.content) },
			} {
				status, body := send()
				assert.Equal(t, 422, status, "as %s: %.300s", as, body)
				words := s.trouble(body).Error
				assert.Contains(t, words, c.words)
				assert.True(t, strings.HasPrefix(words, c.file+": ") || c.file == "x.vrt" || c.file == "x.png", "it names the file as it was dropped: %s", words)
				for _, hidden := range []string{"SECRET", temp, elsewhere} {
					if !strings.Contains(c.content, hidden) {
						assert.NotContains(t, words, hidden)
					}
				}
			}
		})
	}
	link := strings.Replace(kml(t, "", "Linked"), "<Placemark>", "<NetworkLink><Link><href>"+web.URL+"/more.kml</href></Link></NetworkLink>"+
		"<Placemark><styleUrl>"+web.URL+"/style.kml#a</styleUrl>", 1)
	assert.Contains(t, s.mapped("link.kml", []byte(link)).Says, "of 45.0 acres", "a link is not followed")
	assert.Zero(t, asked.Load(), "nothing was fetched")
	s.nothingLeft(temp)
}

// nothingLeft asserts that the folder for temporary files holds the server's own and nothing in it:
// what was uploaded is removed at once.
func (s *visit) nothingLeft(temp string) {
	s.Helper()
	left, err := os.ReadDir(temp)
	require.NoError(s, err)
	require.Len(s, left, 1)
	left, err = os.ReadDir(s.dir)
	require.NoError(s, err)
	assert.Empty(s, left)
}

// slicesOf are names and contents of n files for a zip.
func slicesOf(n int) (files []string) {
	for i := range n {
		files = append(files, fmt.Sprintf("%d.shp", i), "x")
	}
	return files
}

// Names that files are dropped under are only names.
func TestPlainName(t *testing.T) {
	for given, want := range map[string]string{
		"lot.kml": "lot.kml", "../../etc/passwd.kml": "passwd.kml", `C:\jobs\Lot 7.KMZ`: "Lot 7.kmz", "lot\x00.geojson": "lot-.geojson",
		"": "boundary.bin", ".geojson": "boundary.geojson", "Flurstück 3.gpkg": "Flurstück 3.gpkg", "a{b}.zip": "a-b-.zip",
		"/vsicurl/http:/x.geojson": "x.geojson", "x.geojson.vrt": "x-geojson.bin", strings.Repeat("n", 500) + ".kml": strings.Repeat("n", 80) + ".kml",
	} {
		assert.Equal(t, want, plainName(given), "%q", given)
	}
}

func TestUsualFilesAreTaken(t *testing.T) {
	s := serve(t)
	plain := kml(t, "<!-- drawn <by> hand -->", "Quarry <![CDATA[<b>&amp;]]> Lot")
	for name, content := range map[string]string{
		"lot.kml": plain, "lot.kmz": packedFiles(t, "doc.kml", plain, "images/a.png", "x", "__MACOSX/._doc.kml", "x"),
		"lot.geojson": "\xef\xbb\xbf" + string(parcel(t)),
	} {
		a := s.mapped(name, []byte(content))
		assert.Contains(t, a.Says, "of 45.0 acres", name)
	}
}

func TestUploadsAreBounded(t *testing.T) {
	s := serve(t, func(c *Config) {
		c.Limits = Limits{UploadBytes: 1 << 20, Lots: 1, Corners: 100, Cells: 100_000, Features: 1}
	})
	status, body := s.drop(boundaryPart, "x.geojson", strings.Repeat(" ", 2<<20))
	assert.Equal(t, 413, status)
	assert.Contains(t, s.trouble(body).Error, "larger than 1 MB")

	lot := string(parcel(t))
	one := lot[strings.Index(lot, `{"type":"Feature"`) : len(lot)-2]
	status, body = s.drop(boundaryPart, "x.geojson", `{"type":"FeatureCollection","features":[`+one+","+one+`]}`)
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "it holds more than 1 lots; the page takes at most that many: give a part of it, or use the command line")

	status, body = s.drop(boundaryPart, "x.geojson", lot)
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "too many cells")

	round := make(orb.Ring, 201)
	for i := range round {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%200) / 200)
		round[i] = onGround(t, orb.Point{300 + 100*cos, 300 + 100*sin})[0]
	}
	status, body = s.drop(boundaryPart, "x.geojson", string(collection(t, "Round", orb.Polygon{round})))
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "it holds more than 100 corners; the page takes at most that many")

	status, body = s.drop(boundaryPart, "a.geojson", lot, "b.geojson", lot)
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "b.geojson: lot Quarry Lot is the same ground as lot Quarry Lot of another file")

	status, body = s.do("POST", "/v1/maps", "text/plain", []byte("x"))
	assert.Equal(t, 415, status, "%s", body)
	status, body = s.drop("other", "x.geojson", lot)
	assert.Equal(t, 400, status)
	assert.Contains(t, s.trouble(body).Error, `no field "other"`)
}

func TestMapsAreForgotten(t *testing.T) {
	s := serve(t, func(c *Config) { c.Limits = Limits{Maps: 2, Idle: time.Minute} })
	now := time.Now()
	s.shelf.now = func() time.Time { now = now.Add(time.Second); return now }
	var ids []string
	for range 3 {
		ids = append(ids, s.mapped("quarry.geojson", parcel(t)).ID)
	}
	_, _, err := s.shelf.use(ids[0])
	assert.ErrorContains(t, err, "no longer kept", "the oldest made room")
	_, _, err = s.shelf.use(ids[1])
	assert.NoError(t, err)
	status, _ := s.do("DELETE", "/v1/maps/"+ids[1], "", nil)
	assert.Equal(t, 204, status)
	_, _, err = s.shelf.use(ids[1])
	assert.Error(t, err)
	now = now.Add(2 * time.Minute)
	s.shelf.sweep()
	assert.Empty(t, s.shelf.byID)
	few := serve(t, func(c *Config) { c.Limits = Limits{KeptBytes: 6 << 20} }) // a map is 3.8 MB
	first := few.mapped("quarry.geojson", parcel(t))
	few.mapped("quarry.geojson", parcel(t))
	_, _, err = few.shelf.use(first.ID)
	assert.Error(t, err, "bytes are bounded over all maps")
	assert.Len(t, few.shelf.byID, 1)

	status, body := s.set(ids[2], `{}`)
	assert.Equal(t, 404, status)
	assert.Contains(t, s.trouble(body).Error, "drop its boundary again")
}
