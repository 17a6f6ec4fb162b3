package write

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FuzzNames holds that no name breaks the GeoJSON: names are whatever a file holds.
func FuzzGeoJSONNames(f *testing.F) {
	for _, name := range []string{"Kaʻū", "松林三号", "🌲", "\u202Eevil", "\xff\xfe", "a\x00b", "\x1b[31m", "]]></script>", "\u2028", "", strings.Repeat("山", 5000)} {
		f.Add(name)
	}
	m := writerMap(f)
	f.Fuzz(func(t *testing.T, name string) {
		m.Lots[0].Lot, m.Warnings, m.Lots[0].Notes = name, []string{name}, []string{name}
		text, c := written(t, m)
		assert.True(t, utf8.Valid(text))
		want, err := json.Marshal(name) // bytes that are no UTF-8 become U+FFFD
		require.NoError(t, err)
		got, err := json.Marshal(c.Features[0].Properties["lot"])
		require.NoError(t, err)
		if utf8.ValidString(name) {
			assert.Equal(t, string(want), string(got))
		}
	})
}
