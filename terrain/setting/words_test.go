package setting

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oldWords are words that people who clear land in the US stumble at, or second names of
// things that have one: say depends on, access route, pinch point, low spot, staging, walk N
// acres first, meters.
var oldWords = regexp.MustCompile(`(?i)\bhangs? on\b|\bways? in\b|\btight spots?\b|\bhollows?\b|\bunload(ing)? points?\b|\bwalk first: (%[.0-9]*[fs] ?(acres)?|"$)|\b(kilo|centi)?metres\b|\bneighbours?\b|\bcolours?\b`)

// What people read had two names for one thing, and words of another country.
func TestNoOldWordsInWhatPeopleRead(t *testing.T) {
	files := 0
	said := func(where, text string) {
		text = strings.ReplaceAll(text, `"metres"`, "") // a name of a unit that files give
		assert.NotRegexp(t, oldWords, text, where)
	}
	for _, root := range []string{"terrain", "slope", "zoning", "cmd/acreband"} {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", "..", filepath.FromSlash(root)), func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && (d.Name() == "testdata" || d.Name() == "leaflet"):
				return fs.SkipDir
			case strings.HasSuffix(path, "_test.go"):
				return nil
			case filepath.Ext(path) == ".html":
				text, err := os.ReadFile(path)
				said(path, string(text))
				return err
			case filepath.Ext(path) != ".go":
				return nil
			}
			files++
			set := token.NewFileSet()
			f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if text, ok := n.(*ast.BasicLit); ok && text.Kind == token.STRING {
					said(set.Position(text.Pos()).String(), text.Value)
				}
				return true
			})
			return nil
		}))
	}
	assert.Greater(t, files, 100)
}
