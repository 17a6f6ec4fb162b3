package textfile_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/textfile"
)

func TestReadStopsAtTheLimit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	require.NoError(t, os.WriteFile(path, []byte("12345"), 0o666))
	text, err := textfile.Limits{Bytes: 5}.Read(path)
	require.NoError(t, err)
	assert.Equal(t, "12345", string(text))
	_, err = textfile.Limits{Bytes: 4}.Read(path)
	assert.EqualError(t, err, "the file is larger than 4 bytes")
	text, err = textfile.Limits{}.Read(path)
	assert.NoError(t, err)
	assert.Len(t, text, 5)
	_, err = textfile.Limits{}.Read(path + ".none")
	assert.ErrorIs(t, err, os.ErrNotExist)

	endless := &endless{}
	_, err = textfile.Limits{Bytes: 1 << 20}.ReadAll(endless)
	assert.EqualError(t, err, "the file is larger than 1 MB")
	assert.LessOrEqual(t, endless.read, 2<<20)
	endless.read = 0
	assert.EqualError(t, textfile.Limits{Bytes: 1 << 20}.JSONFrom(endless), "the file is larger than 1 MB")
	assert.LessOrEqual(t, endless.read, 2<<20)
}

// endless is a file without end.
type endless struct{ read int }

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'x'
	}
	e.read += len(p)
	return len(p), nil
}

func TestJSON(t *testing.T) {
	l := textfile.Limits{Depth: 4, Each: 6, Tokens: 40}
	for text, want := range map[string]string{
		``:                                   "",
		`{"a":[[[1]]]}`:                      "",
		`[[[[[`:                              "line 1: more than 4 brackets or elements lie inside each other",
		"{\n\"a\":\n[[[[1]]]]}":              "line 3: more than 4 brackets or elements lie inside each other",
		`["[[[[[[[[","\"[[[[[[[","\\",1]`:    "",
		`[1,2,3,4,5,6,7,8]`:                  "line 1: one thing in it has more than 6 values and signs",
		`[[[1,2,3]],[[1,2,3]],[[1,2,3]]]`:    "",
		`[` + strings.Repeat(`[[1,2]],`, 11): "line 1: the file has more than 40 values and signs",
		`]]]]]]]]][[[[[`:                     "line 1: more than 4 brackets or elements lie inside each other",
	} {
		mustSay(t, want, l.JSON([]byte(text)), text)
	}
}

func TestXML(t *testing.T) {
	l := textfile.Limits{Depth: 3, Each: 8}
	for text, want := range map[string]string{
		`<a><b><c/></b></a>`:                                  "",
		`<?xml version="1.0"?><!-- <a><b><c><d> --><a/>`:      "",
		`<a><b><c><d/></c></b></a>`:                           "",
		`<a><b><c><d>`:                                        "line 1: more than 3 brackets or elements lie inside each other",
		"<a>\n<b x='>'>\n<c x=\"/\"><d>":                      "line 3: more than 3 brackets or elements lie inside each other",
		`<a><![CDATA[<b><c><d><e>]]><b/></a>`:                 "",
		`<a><b>1 2 3 4 5 6 7 8 9</b></a>`:                     "line 1: one thing in it has more than 8 values and signs",
		`<a><b>1 2 3</b><b>4 5 6</b><b>7 8 9</b></a>`:         "",
		`<!DOCTYPE kml SYSTEM "x"><a/>`:                       "",
		`<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>`:            "line 1: it declares entities of its own, which are not taken",
		`<!DOCTYPE[<!ENTITY b "c">]>`:                         "line 1: it declares entities of its own, which are not taken",
		"<\x00a\x00>":                                         "line 1: it is text of two bytes a letter: save it as UTF-8",
		`</a></a></a></a><a><b><c><d>`:                        "line 1: more than 3 brackets or elements lie inside each other",
		`<a b="1" c="2" d="3" e="4" f="5" g="6" h="7" i="8">`: "line 1: one thing in it has more than 8 values and signs",
	} {
		mustSay(t, want, l.XML([]byte(text)), text)
	}
}

// Cause: the dashes that open a comment were taken for those that close it, and a quote in a
// processing instruction hid what came after it, such as entities.
func TestXMLHidesNothing(t *testing.T) {
	l := textfile.Limits{Depth: 3}
	const entities = `<!DOCTYPE a [<!ENTITY b "c">]>`
	for _, text := range []string{
		`<!--> <a b=" -->` + entities + `<!-- " > --><a/>`,
		`<!---> <a b=" -->` + entities + `<a/>`,
		`<?x it's?>` + entities + `<a/>`,
		`<?x "?>` + entities + `<a/>`,
	} {
		mustSay(t, "line 1: it declares entities of its own, which are not taken", l.XML([]byte(text)), text)
	}
	for _, text := range []string{
		`<?x it's?><a><b><c/></b></a>`,
		`<?x <a><b><c><d> > ?><!----><a/><!-- - -->`,
	} {
		mustSay(t, "", l.XML([]byte(text)), text)
	}
	mustSay(t, "line 1: more than 3 brackets or elements lie inside each other", l.XML([]byte(`<?x '?><a><b><c><d>`)), "")
}

func TestYAML(t *testing.T) {
	l := textfile.Limits{Depth: 3, Tokens: 20}
	for text, want := range map[string]string{
		"a:\n  - b: [1, 2]\n":     "",
		"a: [[[[":                 "line 1: more than 3 brackets or elements lie inside each other",
		strings.Repeat("- ", 30):  "line 1: the file has more than 20 values and signs",
		strings.Repeat("a\n", 30): "line 22: the file has more than 20 values and signs",
		strings.Repeat("[],", 10): "line 1: the file has more than 20 values and signs",
	} {
		mustSay(t, want, l.YAML([]byte(text)), text)
	}
}

func mustSay(t *testing.T, want string, err error, text string) {
	t.Helper()
	if want == "" {
		assert.NoError(t, err, text)
		return
	}
	var much *textfile.TooMuch
	assert.ErrorAs(t, err, &much, text)
	assert.EqualError(t, err, want, text)
}

// Looking takes the same memory whatever comes.
func TestLookingTakesNoMemory(t *testing.T) {
	for _, text := range []string{strings.Repeat("[", 200<<10), strings.Repeat("<a>", 200<<10), strings.Repeat("- ", 200<<10)} {
		for _, look := range []func(textfile.Limits, io.Reader) error{textfile.Limits.JSONFrom, textfile.Limits.XMLFrom} {
			r := strings.NewReader(text)
			allocated := testing.AllocsPerRun(3, func() {
				r.Seek(0, io.SeekStart)
				_ = look(textfile.Limits{}, r)
			})
			assert.Less(t, allocated, 10.0)
		}
	}
}

// A reader's error is handed on.
func TestReadingFails(t *testing.T) {
	broken := errors.New("unplugged")
	assert.ErrorIs(t, textfile.Limits{}.JSONFrom(io.MultiReader(strings.NewReader("[1"), failing{broken})), broken)
	_, err := textfile.Limits{Bytes: 9}.ReadAll(failing{broken})
	assert.ErrorIs(t, err, broken)
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }
