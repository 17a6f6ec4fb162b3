package page

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// XML that Go's decoder reads to its end and finds a declaration in, or nested too
// deep, must have been refused.
func FuzzCheckXML(f *testing.F) {
	f.Add([]byte(`<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY e "x">]><kml>&e;</kml>`))
	f.Add([]byte(`<!--> <a b=" --><!DOCTYPE kml><!-- " > --><kml/>`))
	f.Add([]byte(`<kml a='>' b="<"><![CDATA[<!DOCTYPE]]><!-- <!DOCTYPE --></kml>`))
	f.Add([]byte(strings.Repeat("<a>", 9) + strings.Repeat("</a>", 9)))
	f.Fuzz(func(t *testing.T, text []byte) {
		const deep = 8
		if checkXML(text, deep) != nil {
			return
		}
		in := xml.NewDecoder(bytes.NewReader(text))
		in.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
		in.Entity = map[string]string{"e": "x"}
		declared, depth, deepest := false, 0, 0
		for {
			token, err := in.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				return // neither will expat read it
			}
			switch token.(type) {
			case xml.Directive:
				declared = true
			case xml.StartElement:
				depth++
				deepest = max(deepest, depth)
			case xml.EndElement:
				depth--
			}
		}
		require.False(t, declared, "%q", text)
		require.LessOrEqual(t, deepest, deep, "%q", text)
	})
}

// Whatever was uploaded, what is handed on is bounded, plainly named and stored.
func FuzzClean(f *testing.F) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, text := range map[string]string{"a/doc.kml": "<kml/>", "a.shp": "x", "b.txt": "y"} {
		m, err := w.Create(name)
		require.NoError(f, err)
		_, err = io.WriteString(m, text)
		require.NoError(f, err)
	}
	require.NoError(f, w.Close())
	f.Add("lots.zip", b.Bytes())
	f.Add("../x.kml", []byte("<kml></kml>"))
	f.Add("a.shp", []byte("\x00\x00\x27\x0a"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		l := Limits{ArchiveFiles: 10, UnpackedBytes: 1 << 12, XMLDepth: 8}
		files := []upload{{plainName(name), data}}
		require.True(t, fs.ValidPath(files[0].name) && filepath.Base(files[0].name) == files[0].name, "%q", files[0].name)
		main, err := clean(files, l)
		if err != nil {
			return
		}
		require.Equal(t, files[0].name, main)
		if !bytes.HasPrefix(data, []byte("PK")) {
			require.Equal(t, data, files[0].data)
			return
		}
		z, err := zip.NewReader(bytes.NewReader(files[0].data), int64(len(files[0].data)))
		require.NoError(t, err)
		total := uint64(0)
		for _, m := range z.File {
			require.True(t, fs.ValidPath(m.Name), "%q", m.Name)
			require.Equal(t, zip.Store, m.Method)
			total += m.UncompressedSize64
		}
		require.LessOrEqual(t, total, uint64(1<<12))
	})
}

// Whatever was dropped, it is told or refused, and what is kept of it lies in its folder under a
// plain name.
func FuzzLook(f *testing.F) {
	f.Add("hill.asc", []byte("ncols 3\nnrows 2\nxllcorner 747000\nyllcorner 4025000\ncellsize 1\n300 301 302\n303 304 305\n"))
	f.Add("lot.geojson", []byte(`{"type":"Feature","properties":{"kind":"no-go"},"geometry":{"type":"Point","coordinates":[-84,36]}}`))
	f.Add("lot.tif", []byte(`{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[[[-84,36],[-84.001,36],[-84,36.001],[-84,36]]]}}`))
	f.Add("../x.tif", []byte("II*\x00\x08\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "0"), data, 0o600))
		limits := Limits{DroppedCells: 10_000, Lots: 10, Corners: 1000, Features: 10, UnpackedBytes: 1 << 16}.or(DefaultLimits())
		s, err := question{Folder: folder, Names: []string{plainName(name)}, Look: true, CRS: "EPSG:32616", Limits: limits}.look()
		if err != nil {
			return
		}
		require.NotEmpty(t, s.Roles)
		require.Equal(t, filepath.Base(s.Name), s.Name)
		require.FileExists(t, filepath.Join(folder, s.Name))
		require.NoDirExists(t, filepath.Join(folder, seenFolder))
	})
}
