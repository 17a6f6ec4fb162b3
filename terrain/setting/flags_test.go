package setting

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Library messages named the command line's flags, to people who have none.
func TestNoFlagInTheLibrary(t *testing.T) {
	flag := regexp.MustCompile(`(^|[^-!])--[a-z]`)
	files := 0
	for _, root := range []string{"terrain", "slope", "zoning"} {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", "..", root), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files++
			set := token.NewFileSet()
			f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if text, ok := n.(*ast.BasicLit); ok && text.Kind == token.STRING {
					assert.NotRegexp(t, flag, text.Value, "%s names a flag: use setting.Name", set.Position(text.Pos()))
				}
				return true
			})
			return nil
		}))
	}
	assert.Greater(t, files, 100)
}

func TestName(t *testing.T) {
	assert.Equal(t, "elevation-crs", Name("elevation-crs"))
	CallThem(func(key string) string { return "the box " + key })
	defer CallThem(func(key string) string { return key })
	assert.Equal(t, "the box elevation-crs", Name("elevation-crs"))
}
