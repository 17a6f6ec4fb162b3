package scripts

import (
	"bytes"
	"compress/gzip"
	"embed"
	"fmt"
	"io"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

//go:embed fonts/*.gz
var files embed.FS

// latin holds what scripts share, such as spaces and punctuation.
const latin, cjk = "latin", "cjk"

// fileOf names the font of a script.
var fileOf = map[language.Script]string{
	language.Latin: latin, language.Greek: latin, language.Cyrillic: latin,
	language.Han: cjk, language.Hiragana: cjk, language.Katakana: cjk, language.Bopomofo: cjk, language.Hangul: cjk,
	language.Adlam: "adlam", language.Arabic: "arabic", language.Armenian: "armenian", language.Bengali: "bengali",
	language.Canadian_Aboriginal: "canadianaboriginal", language.Cherokee: "cherokee", language.Devanagari: "devanagari",
	language.Ethiopic: "ethiopic", language.Georgian: "georgian", language.Gujarati: "gujarati", language.Gurmukhi: "gurmukhi",
	language.Hebrew: "hebrew", language.Kannada: "kannada", language.Khmer: "khmer", language.Lao: "lao",
	language.Malayalam: "malayalam", language.Myanmar: "myanmar", language.Nko: "nko", language.Ol_Chiki: "olchiki",
	language.Oriya: "oriya", language.Osage: "osage", language.Sinhala: "sinhala", language.Syriac: "syriac",
	language.Tamil: "tamil", language.Telugu: "telugu", language.Thaana: "thaana", language.Thai: "thai",
	language.Tifinagh: "tifinagh", language.Vai: "vai",
}

// typeface is a font with what sets it. Hold its lock to use it.
type typeface struct {
	sync.Mutex
	face   *font.Face
	shaper *harfbuzz.Font
	buffer *harfbuzz.Buffer
	em     float64
}

var typefaces = func() map[string]func() *typeface {
	all := map[string]func() *typeface{}
	for _, name := range fileOf {
		all[name] = sync.OnceValue(func() *typeface { return read(name) })
	}
	return all
}()

// read is a font of those that are compiled in.
func read(name string) *typeface {
	face, err := parse(name)
	if err != nil {
		panic(fmt.Sprintf("the built-in font %s cannot be read: %v", name, err)) // it is compiled in
	}
	return &typeface{face: face, shaper: harfbuzz.NewFont(face), buffer: harfbuzz.NewBuffer(), em: float64(face.Upem())}
}

func parse(name string) (*font.Face, error) {
	packed, err := files.ReadFile("fonts/" + name + ".gz")
	if err != nil {
		return nil, err
	}
	unpacked, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	file, err := io.ReadAll(unpacked)
	if err != nil {
		return nil, err
	}
	return font.ParseTTF(bytes.NewReader(file))
}

// holds reports whether the font has all runes of a letter with its marks.
func (t *typeface) holds(letter []rune) bool {
	t.Lock()
	defer t.Unlock()
	for i, r := range letter {
		if i > 0 && joiner(r) {
			continue // it shapes its neighbors, and has no shape
		}
		if glyph, ok := t.face.NominalGlyph(r); !ok || glyph == 0 {
			return false
		}
	}
	return true
}

// joiner reports whether a rune is ZERO WIDTH NON-JOINER or ZERO WIDTH JOINER.
func joiner(r rune) bool { return r == 0x200C || r == 0x200D }
