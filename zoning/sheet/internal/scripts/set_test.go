package scripts

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func none(rune) bool { return false }

// ascii stands for a caller's own font.
func ascii(r rune) bool { return r >= ' ' && r < 0x7F }

// Outside: hb-shape of HarfBuzz 6.0.0 with --no-glyph-names --language=en over the same
// fonts: of each glyph from the left its number, the first rune it is of, where it is
// moved, and how far it moves on, in units of the font.
func TestGlyphsAreThoseOfHarfBuzz(t *testing.T) {
	for words, want := range map[string]string{
		"قطعة":    "1264=3+486|12=2+521|1219=1+710|943=0+447",
		"חלקה":    "42=3+627|82=2+627|55=1+522|44=0+662",
		"क्षेत्र": "179=0+712|75=0+0|269=4+552",
		"জমি":     "27=0+917|55=1+266|44=1+622",
		"மனை":     "29=0+858|48=1+1160|27=1+1234",
		"ที่ดิน":  "117=0+609|94=0@-3,0+0|44=0@-3,0+0|12=3+616|92=3+0|71=5+613",
		"მიწა":    "172=0+605|155=1+574|126=2+605|112=3+549",
		"հող":     "70=0+562|78=1+597|72=2+599",
		"መሬት":     "256=0+919|364=1+549|427=2+601",
		"松林":      "6848=0+1000|6872=1+1000",
		"소나무":     "26157=0+920|21817=1+920|24533=2+920",
		"ដី":      "36=0+635|85=0@-36,30+0",
		"မြေ":     "372=0+618|47=0+229|29=0+676",
		"බිම":     "279=0+867|53=2+850",
		"ഭൂമി":    "47=0+654|68=0+332|48=2+723|65=2+228",
		"Ǫ́ǫ́":    "952=0+781|2995=0@-118,178+0|953=2+605|2995=2@-30,0+0",
	} {
		line := []rune(words)
		runs := stretches(line, none)
		require.Len(t, runs, 1, words)
		b := runs[0].shape(line)
		var got []string
		for i, g := range b.Info {
			p, moved := b.Pos[i], ""
			if p.XOffset != 0 || p.YOffset != 0 {
				moved = fmt.Sprintf("@%d,%d", p.XOffset, p.YOffset)
			}
			got = append(got, fmt.Sprintf("%d=%d%s+%d", g.Glyph, g.Cluster, moved, p.XAdvance))
		}
		assert.Equal(t, want, strings.Join(got, "|"), words)
	}
}

// Every script's font is read, and sets a letter of it without an empty box.
func TestEveryFontSetsItsScript(t *testing.T) {
	seen := map[*typeface]bool{}
	for _, letter := range []string{
		"Ǫ", "山", "𞤀", "ب", "Ա", "ক", "ᐃ", "Ꭰ", "क", "አ", "ა", "ક", "ਕ", "א", "ಕ", "ក", "ກ", "ക", "က", "ߊ", "ᱚ", "କ", "𐒰", "ක", "ܐ",
		"க", "క", "ހ", "ก", "ⴰ", "ꔀ",
	} {
		runs := Set(letter, none)
		require.Len(t, runs, 1, letter)
		assert.Greater(t, runs[0].Width, 0.1, letter)
		assert.Len(t, runs[0].Glyphs(), 1, letter)
		seen[runs[0].face] = true
	}
	assert.Len(t, seen, len(typefaces))
}

func fromTheLeft(words string) string {
	var out []string
	for _, r := range Set(words, ascii) {
		w := []rune(r.Words)
		if r.Leftward {
			for i, k := 0, len(w)-1; i < k; i, k = i+1, k-1 {
				w[i], w[k] = w[k], w[i]
			}
		}
		out = append(out, string(w))
	}
	return strings.Join(out, "")
}
