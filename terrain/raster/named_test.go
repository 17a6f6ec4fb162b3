package raster

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNamedSources(t *testing.T) {
	sources := NamedSources()
	require.NotEmpty(t, sources)
	for _, s := range sources {
		assert.Equal(t, "memory", s.AddressFrom, "%s: nobody checked it from here", s.Key)
		assert.True(t, strings.HasPrefix(s.Address, "https://"), s.Key)
		names, err := Expand(t.Context(), []string{s.Key})
		require.NoError(t, err)
		assert.Equal(t, []string{s.Address}, names)
	}
	for _, line := range strings.Split(string(NamedSourcesYAML()), "\n") {
		assert.NotContains(t, line, "\t")
	}
	sources[0].Key = "x"
	assert.NotEqual(t, "x", NamedSources()[0].Key, "the slice is the caller's own")
}

func TestNamedSourceOfOnesOwn(t *testing.T) {
	s := newShelf(t, map[string]string{"hill.tif": hillDEM().write(t, "hill.tif")})
	own, err := ParseNamedSources("own.yaml", []byte("sources:\n  - {key: mine/1-m, name: Mine, address: "+s.URL+"/hill.tif, address_from: the server beside this}\n"))
	require.NoError(t, err)
	c := catalogued(t, Options{Named: own}, "mine/1-m")
	require.Len(t, c.Entries(), 1)
	assert.Equal(t, s.URL+"/hill.tif", c.Entries()[0].Path)
	_, err = NewCatalogue(t.Context(), []string{"us-1-arc-second"}, Options{Named: own})
	assert.ErrorContains(t, err, "those are mine/1-m")
}

func TestNamedSourcesRefused(t *testing.T) {
	const rest = ", name: A, address: 'https://a.example/a.vrt', address_from: memory}"
	for text, want := range map[string]string{
		"":                                 "own.yaml: ",
		"sources: []":                      "own.yaml: it lists no elevation service",
		"sources: [{key: A B" + rest + "]": `source 1 ("A B"): its key must be of`,
		"sources: [{key: a" + rest + ", {key: a" + rest + "]":                        `source 2 ("a"): its key is taken`,
		"sources: [{key: a, address: /a.tif, address_from: memory}]":                 "does not begin with http:// or https://",
		"sources: [{key: a, address: 'https://a.example/a.tif'}]":                    "address_from",
		"sources: [{key: a, adress: 'https://a.example/a.tif', address_from: here}]": "own.yaml: not a list of elevation services",
	} {
		_, err := ParseNamedSources("own.yaml", []byte(text))
		assert.ErrorContains(t, err, want, text)
	}
	_, err := ReadNamedSources("none.yaml")
	assert.ErrorContains(t, err, "none.yaml")
}

func FuzzNamedSources(f *testing.F) {
	f.Add(NamedSourcesYAML())
	f.Add([]byte("sources: [{key: a}]"))
	f.Add([]byte("sources: 3"))
	f.Fuzz(func(t *testing.T, text []byte) {
		sources, err := ParseNamedSources("f.yaml", text)
		if err != nil {
			require.ErrorContains(t, err, "f.yaml: ")
			return
		}
		for _, s := range sources {
			require.True(t, isAddress(s.Address))
		}
	})
}
