package write_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/write"
)

// strangeNames are names as files of the world have them, and as nobody should.
var strangeNames = []string{
	"Kaʻū", "Tʼáá", "قطعة أرض", "松林三号", "חלקה 12", "भूखंड ३", "🌲", "\u202Eevil", "\xff\xfe", "a\x00b", "\x1b[31mred",
	"]]>", "</name><script>", "{{.}}", "", " ", "\uFFFF", "a\nb\r\nc", `"`, "=1+1", strings.Repeat("山", 5000),
}

// checkNamed writes a map of lots of a name in every form of this package, and reads
// each.
func checkNamed(t *testing.T, m made, name string) {
	zm := *m.zm
	zm.Lots = slices.Clone(zm.Lots)
	zm.Lots[0].Lot, zm.Lots[1].Lot, zm.Lots[1].Notes = name, name, []string{name}
	zm.Warnings = []string{name}
	zm.Fleet = slices.Clone(zm.Fleet)
	zm.Fleet[0].Name = name
	spots := []write.Spot{{Kind: write.FieldCheck, Name: name, Words: name}}
	var k, z, g, s, zones, lots bytes.Buffer
	require.NoError(t, write.KML(&k, &zm, spots))
	require.NoError(t, write.KMZ(&z, &zm, spots))
	require.NoError(t, write.GPX(&g, &zm, spots))
	require.NoError(t, write.SLD(&s, &zm))
	for what, text := range map[string]*bytes.Buffer{"KML": &k, "GPX": &g, "SLD": &s} {
		d := xml.NewDecoder(text)
		var err error
		for err == nil {
			_, err = d.Token()
		}
		assert.True(t, errors.Is(err, io.EOF), "%s of %q: %v", what, name, err)
	}
	_, err := zip.NewReader(bytes.NewReader(z.Bytes()), int64(z.Len()))
	require.NoError(t, err)
	require.NoError(t, write.ZonesCSV(&zones, &zm))
	require.NoError(t, write.LotsCSV(&lots, &zm))
	for _, text := range []*bytes.Buffer{&zones, &lots} {
		rows, err := csv.NewReader(text).ReadAll()
		require.NoError(t, err, "%q", name)
		assert.Greater(t, len(rows), 2)
	}
}

// Names are whatever a file holds: none may end a writer or break what it writes.
func TestAnyNameIsWritten(t *testing.T) {
	m := newMap(t)
	for _, name := range strangeNames {
		checkNamed(t, m, name)
	}
}

func FuzzNames(f *testing.F) {
	m := newMap(f)
	for _, name := range strangeNames {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) { checkNamed(t, m, name) })
}
