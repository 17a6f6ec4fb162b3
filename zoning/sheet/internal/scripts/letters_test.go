package scripts

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

// Letters with more marks than any script stacks were drawn over what stands above.
func TestLettersThatCannotBeSet(t *testing.T) {
	for words, want := range map[string]bool{
		"שָׁ": true, "क्ष्म्य": true, "Z" + strings.Repeat("\u0335", 4): true, "नि\u200Dक": true,
		"Z" + strings.Repeat("\u0335", 5): false, strings.Repeat("ক্", 40) + "ক": false,
		"\u0301": false, "🌲": false, "\u202E": false, "\u200D": false, "\u3164": false, "松\uFE00": false, "נ\u200Eא": false, "\uFFFE": false, "\U0010FFFF": false, "𓀀": false,
	} {
		got := maps.Collect(Letters(words, ascii))
		assert.Equal(t, !want, slices.Contains(slices.Collect(maps.Values(got)), false), "%q", words)
	}
}

// FuzzSet sets what is known of a text: all of it, in any order, without an empty box.
func FuzzSet(f *testing.F) {
	for _, words := range []string{
		"lot חלקה (12), 3.4", "قطعة ٣ b", "क्षेत्र", "ที่ดิน", "소나무", "\u2067א\u2069 (1)", "ab\u2029גד", "\u115F\u1160\u11A8", "\xff", "x\u0301\u0335",
		strings.Repeat("ক্", 200), "\u202Eabc", "மனை\u200C", "e\u20DD", "\u0600١", "ߊ߲", "𞤀𞤁", "ꯍ", "\u0F40",
	} {
		f.Add(words)
	}
	f.Fuzz(func(t *testing.T, words string) {
		if len(words) > 1<<12 {
			return
		}
		var known strings.Builder
		for letter, ok := range Letters(words, ascii) {
			if ok {
				known.WriteString(letter)
			}
		}
		count := 0
		for _, r := range Set(words, ascii) {
			assert.True(t, utf8.ValidString(r.Words))
			assert.False(t, !r.Plain && r.Width < 0, "%q", r.Words)
			count += len(r.Words)
			for _, g := range r.Glyphs() {
				assert.NotEmpty(t, g)
			}
		}
		assert.Equal(t, known.Len(), count, "%q", words)
		line := []rune(words)
		for _, r := range stretches(line, ascii) {
			if r.face == nil {
				continue
			}
			for _, g := range r.shape(line).Info {
				assert.NotZero(t, g.Glyph, "%q of %q", string(line[r.start:r.end]), words)
			}
		}
	})
}
