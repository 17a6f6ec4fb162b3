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

// oldWords are words that people who clear land in the US do not use, or use for something
// else, or second names of one thing; what to write instead stands beside each.
var oldWords = map[string]*regexp.Regexp{
	`"depends on"`:                     regexp.MustCompile(`(?i)\bh[au]ngs? (up)?on\b`),
	`"not brought" or "not cleared"`:   regexp.MustCompile(`(?i)\b(unbrought|uncleared)\b`),
	`"access route"`:                   regexp.MustCompile(`(?i)\bways? in\b([^a-z]|$| from| for| of| is)`),
	`"pinch point"`:                    regexp.MustCompile(`(?i)\b(tight|narrow) spots?\b`),
	`"low spot" or "depression"`:       regexp.MustCompile(`\b[Hh]ollows?\b`),
	`"staging"`:                        regexp.MustCompile(`(?i)\bunload(ing)? (points?|places?|spots?)\b`),
	`"walk N acres first"`:             regexp.MustCompile(`(?i)\bwalk first:? "?[+%]`),
	`"meter", "color" and the like`:    regexp.MustCompile(`(?i)\b(kilo|centi)?metres?\b|\b(colour|neighbour|grey scale|centre|tonne|licen[c]e|favour|behaviour)s?\b`),
	`"remove" or "download"`:           regexp.MustCompile(`(?i)\btak(e|en) (it|them|one|the files?) away\b|\bare taken away\b`),
	`"figured"`:                        regexp.MustCompile(`(?i)\breckon`),
	`"no data"`:                        regexp.MustCompile(`\bnodata[ ,.;:]`),
	`"data used"`:                      regexp.MustCompile(`(?i)\bprovenance\b`),
	`"allow for elevation error"`:      regexp.MustCompile(`(?i)\bcautious mode\b`),
	`"keep-clear distance"`:            regexp.MustCompile(`(?i)\bstand-?off\b`),
	`"finish boundary", "undo corner"`: regexp.MustCompile(`(?i)\b(close ring|last vertex|undo vertex)\b`),
}

// notWords is what a sentence says that is no word of it: the name of a flag.
var notWords = regexp.MustCompile(`--[a-z-]+`)

// One thing has one name in what people read, a word of their trade.
func TestWordsOfTheTrade(t *testing.T) {
	texts := 0
	read := func(where, text string) {
		if !strings.Contains(strings.TrimSpace(text), " ") {
			return // a key, or a unit as files spell it
		}
		texts++
		text = notWords.ReplaceAllString(text, "")
		for instead, old := range oldWords {
			if found := old.FindString(text); found != "" {
				t.Errorf("%s says %q; write %s", where, found, instead)
			}
		}
	}
	for _, root := range []string{"terrain", "slope", "zoning", "cmd"} {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", "..", root), func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && (d.Name() == "leaflet" || d.Name() == "testdata"):
				return filepath.SkipDir
			case d.IsDir() || strings.HasSuffix(path, "_test.go"):
				return nil
			}
			switch filepath.Ext(path) {
			case ".go":
				set := token.NewFileSet()
				f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
				if err != nil {
					return err
				}
				ast.Inspect(f, func(n ast.Node) bool {
					if text, ok := n.(*ast.BasicLit); ok && text.Kind == token.STRING {
						read(set.Position(text.Pos()).String(), text.Value)
					}
					return true
				})
			case ".html", ".js":
				text, err := os.ReadFile(path)
				if err != nil {
					return err
				}
				for _, line := range strings.Split(string(text), "\n") {
					if code := strings.TrimSpace(line); !strings.HasPrefix(code, "//") {
						read(path, line)
					}
				}
			}
			return nil
		}))
	}
	assert.Greater(t, texts, 2000, "what people read is found")
}
