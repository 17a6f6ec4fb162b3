package gdal

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

var strangeNames = []string{
	"Kaʻū", "Tʼáá", "قطعة أرض", "松林三号", "חלקה 12", "🌲", "\u202Eevil", "\xff\xfe", "a\x00b", "\x1b[31mred",
	"'; DROP TABLE lots; --", "%s%n", "", " ", "\uFFFF", "a\nb\r\nc", `"`, strings.Repeat("山", 5000),
}

func checkPackageNamed(t *testing.T, zm *zoning.ZoneMap, name string) {
	named := *zm
	named.Lots = slices.Clone(zm.Lots)
	named.Lots[0].Lot, named.Lots[0].Notes = name, []string{name}
	_, file := packageOf(t, &named, []write.Spot{{Kind: write.FieldCheck, Name: name, Words: name}})
	lots := opened(t, file).LayerByName("lots")
	require.NotNil(t, lots)
	f := lots.NextFeature()
	require.NotNil(t, f)
	defer f.Close()
	if got := f.Fields()["lot"].String(); utf8.ValidString(name) && !strings.Contains(name, "\x00") {
		assert.Equal(t, name, got)
	} else {
		assert.True(t, utf8.ValidString(got), "%q of %q", got, name)
	}
}

// Names are whatever a file holds: none may end the writer or break what it writes.
func TestAnyNameIsWrittenToAGeoPackage(t *testing.T) {
	zm := packageMap(t)
	for _, name := range strangeNames {
		checkPackageNamed(t, zm, name)
	}
}

func FuzzGeoPackageNames(f *testing.F) {
	zm := packageMap(f)
	for _, name := range strangeNames {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) { checkPackageNamed(t, zm, name) })
}
