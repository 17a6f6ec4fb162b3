package gdal

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/read"
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
	_, file := read.PackageOf(t, &named, []write.Spot{{Kind: write.FieldCheck, Name: name, Words: name}})
	lots := read.Opened(t, file).LayerByName("lots")
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
	zm := read.PackageMap(t)
	for _, name := range strangeNames {
		checkPackageNamed(t, zm, name)
	}
}

func FuzzGeoPackageNames(f *testing.F) {
	zm := read.PackageMap(f)
	for _, name := range strangeNames {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) { checkPackageNamed(t, zm, name) })
}

// A name of a megabyte is no name: it made tables and pictures of any size.
func TestALongNameIsCutShort(t *testing.T) {
	name, note := read.LotName([]string{strings.Repeat("山", 400_000)}, 3)
	assert.Equal(t, strings.Repeat("山", read.MostName)+"…", name)
	assert.Contains(t, note, "its name has 400000 letters")
	name, note = read.LotName([]string{" Ka\xffʻū "}, 3)
	assert.Equal(t, "Kaʻū", name)
	assert.Empty(t, note)
}
