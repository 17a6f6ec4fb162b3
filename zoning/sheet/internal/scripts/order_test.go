package scripts

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Outside: FriBidi 1.0.8 with --levels, --rtl for the first ones and --ltr for those with
// English letters.
func TestLevelsAreThoseOfFriBidi(t *testing.T) {
	for words, want := range map[string]string{
		"חלקה 12":               "1111122",
		"חלקה (12) צפון":        "11111122111111",
		"قطعة ٣":                "111112",
		"12 חלקה, 3.4-5":        "22111111122222",
		"מגרש 7%":               "1111122",
		"lot חלקה (ב) is small": "000011111111000000000",
		"a قطعة ٣, b":           "00111112000",
		"ab ש\"ח cd":            "000111000",
	} {
		var got strings.Builder
		for _, l := range levels([]rune(words)) {
			got.WriteByte(byte('0' + l))
		}
		assert.Equal(t, want, got.String(), words)
	}
}

// The acres after a Hebrew name that ends in a number changed places with that number.
func TestFiguresStayWhereEnglishPutsThem(t *testing.T) {
	assert.Equal(t, "lot הקלח 12, 3.4 acres", fromTheLeft("lot חלקה 12, 3.4 acres"))
	assert.Equal(t, "הקלח: 3.4 acres", fromTheLeft("חלקה: 3.4 acres"))
	assert.Equal(t, "12 הקלח", fromTheLeft("חלקה 12"))
}

// What InOrder marks, a browser orders as this package does: outside, FriBidi 1.0.8 with
// --ltr over the marked text, from the left: "lot הקלח 12, 3.4 acres" and "הקלח 12".
func TestInOrder(t *testing.T) {
	assert.Equal(t, "lot חלקה \u200E12, 3.4 acres", InOrder("lot חלקה 12, 3.4 acres"))
	assert.Equal(t, "lot חלקה\u200E", InOrder("lot חלקה"))
	assert.Equal(t, "\u206712 חלקה\u2069", InOrder("12 חלקה"))
	assert.Equal(t, "lot 松林 12, 3.4 acres", InOrder("lot 松林 12, 3.4 acres"))
}
