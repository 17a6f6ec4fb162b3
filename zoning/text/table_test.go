package text_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/text"
)

// Names that a spreadsheet would run, and how they hide the sign that makes them run:
// OWASP, CSV Injection, and what a spreadsheet shows nothing of.
var formulas = []string{
	`=HYPERLINK("http://x","lot 7")`, "+1+1", "@SUM(1)", "-2+3+cmd|' /C calc'!A0", "|cmd", "\t=1", "\r=1", "\n=1", "\tlot", "-", "=",
	"\ufeff=1", "\u200b=1", "\u200d\u2060=1", " =1", "\u00a0=1", "\u3000@x", "\u2800=1", "\u3164=1", "\x00=1", "\xff=1", "'=1", "''=1", " '\ufeff'+x",
	"＝1", "＋1", "－x", "＠x", "-12.5x", "+1-1", "-1e5", "-Inf", "-0x1p4", "--1", "\u0301=1", "\u202e=1",
}

// Names and figures that stay as they are.
var harmless = []string{"", "Lot 7", "-12.5", "+3", "-0", "12", "'quoted'", "'", "a=b", "O'Brien", "'-12.5", " 5", "Größe", "松林", "#1", "%", "\ufeffname", "1-2", "(=1)", `"=1"`}

func TestGuarded(t *testing.T) {
	for _, words := range formulas {
		assert.Equal(t, "'"+words, text.Guarded(words), "%q", words)
		assert.Equal(t, words, text.Unguarded(text.Guarded(words)), "%q", words)
	}
	for _, words := range harmless {
		assert.Equal(t, words, text.Guarded(words), "%q", words)
		assert.Equal(t, words, text.Unguarded(words), "%q", words)
	}
}

func TestTable(t *testing.T) {
	rows := func(table *text.Table) {
		table.Row("lot", "acres", "note")
		table.Row("=1", "-12.5", "a, \"b\"\r\nc\rd")
		require.NoError(t, table.Flush())
	}
	var lf, crlf bytes.Buffer
	rows(text.NewTable(&lf))
	rows(text.NewTableCRLF(&crlf))
	assert.Equal(t, "lot,acres,note\n'=1,-12.5,\"a, \"\"b\"\"\nc\nd\"\n", lf.String())
	assert.Equal(t, strings.ReplaceAll(lf.String(), "\n", "\r\n"), crlf.String())

	full := text.NewTable(failing{})
	full.Row("a")
	assert.EqualError(t, full.Flush(), "no space")
	full.Row("b")
	assert.EqualError(t, full.Flush(), "no space", "an error stays")
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("no space") }

// Each table was written by a writer of its own, and only one of five had a guard.
func TestNothingElseWritesTables(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		if seen++; filepath.Base(filepath.Dir(path)) != "text" && strings.Contains(string(text), "csv."+"NewWriter") {
			t.Errorf("%s writes comma-separated values; take text.NewTable, which guards them", path)
		}
		return err
	}))
	assert.Greater(t, seen, 100)
}

// FuzzTable checks that any cell comes back from a table as it was, but for line ends,
// control characters and broken bytes, that none begins with a sign that a spreadsheet runs, and that numbers stay numbers.
func FuzzTable(f *testing.F) {
	for _, text := range append(formulas, harmless...) {
		f.Add(text, "x")
	}
	ends := strings.NewReplacer("\r\n", "\n", "\r", "\n")
	printable := func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' {
			return ' '
		}
		return r
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		for _, table := range []func(io.Writer) *text.Table{text.NewTable, text.NewTableCRLF} {
			var out bytes.Buffer
			w := table(&out)
			w.Row(a, b, "end")
			require.NoError(t, w.Flush())
			row, err := csv.NewReader(&out).Read()
			require.NoError(t, err)
			require.Len(t, row, 3)
			for i, words := range []string{a, b} {
				require.Equal(t, strings.Map(printable, ends.Replace(words)), text.Unguarded(row[i]), "%q", words)
				seen := strings.TrimSpace(strings.TrimPrefix(row[i], "\ufeff"))
				if seen != "" && strings.Contains("=@|", seen[:1]) {
					t.Fatalf("%q goes out as %q", words, row[i])
				}
			}
		}
	})
}
