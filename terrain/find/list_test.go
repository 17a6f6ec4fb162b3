package find

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBuiltInList(t *testing.T) {
	sources := BuiltIn()
	require.NotEmpty(t, sources)
	for _, s := range sources {
		assert.Contains(t, []string{"memory", "programs that use it"}, s.AddressFrom, "%s: nobody checked it from here", s.Key)
		assert.True(t, strings.HasPrefix(s.Address, "https://"), s.Key)
		assert.Greater(t, s.CellM(), 0.0, s.Key)
	}
	for _, line := range strings.Split(string(BuiltInYAML()), "\n") {
		assert.NotContains(t, line, "\t")
	}
	sources[0].Key = "x"
	assert.NotEqual(t, "x", BuiltIn()[0].Key, "the slice is the caller's own")
}

func TestListsRefused(t *testing.T) {
	const rest = ", name: A, address: 'https://a.example/a.vrt', address_from: memory}"
	for text, want := range map[string]string{
		"":                                 "own.yaml: ",
		"sources: []":                      "own.yaml: it lists no elevation service",
		"sources: [{key: A B" + rest + "]": `source 1 ("A B"): its key must be of`,
		"sources: [{key: a" + rest + ", {key: a" + rest + "]":                        `source 2 ("a"): its key is taken`,
		"sources: [{key: a, address: /a.tif, address_from: memory}]":                 "does not begin with http:// or https://",
		"sources: [{key: a, address: 'https://a.example/a.tif'}]":                    "address_from",
		"sources: [{key: a, kind: ftp" + rest + "]":                                  `its kind "ftp" is none of`,
		"sources: [{key: a, kind: tnm, cells: 1m" + rest + "]":                       "say in dataset",
		"sources: [{key: a, kind: stac, cells: 1m" + rest + "]":                      "say in collection and terrain",
		"sources: [{key: a, kind: tnm, dataset: D" + rest + "]":                      "say in cells",
		"sources: [{key: a, cells: 3 ft" + rest + "]":                                `its cells "3 ft" are no size`,
		"sources: [{key: a, sign: 'https://a.example'" + rest + "]":                  "go together",
		"sources: [{key: a, area: [[10, 0, 5, 1]]" + rest + "]":                      "the box [10 0 5 1] of its area is none",
		"sources: [{key: a, adress: 'https://a.example/a.tif', address_from: here}]": "own.yaml: not a list of elevation services",
	} {
		_, err := Parse("own.yaml", []byte(text))
		assert.ErrorContains(t, err, want, text)
	}
	_, err := Read("none.yaml")
	assert.ErrorContains(t, err, "none.yaml")
}

func FuzzParse(f *testing.F) {
	f.Add(BuiltInYAML())
	f.Add([]byte("sources: [{key: a}]"))
	f.Add([]byte("sources: 3"))
	f.Fuzz(func(t *testing.T, text []byte) {
		sources, err := Parse("f.yaml", text)
		if err != nil {
			require.ErrorContains(t, err, "f.yaml: ")
			return
		}
		for _, s := range sources {
			require.True(t, IsKey(s.Key))
		}
	})
}
