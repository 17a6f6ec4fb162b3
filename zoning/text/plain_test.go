package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOneLine(t *testing.T) {
	assert.Equal(t, "A [31mred lot", OneLine("  A\x1b[31mred\n\tlot\xff "))
	assert.Equal(t, "ab", OneLine("a\u202eb"), "what turns the direction of writing goes")
	assert.Equal(t, "", OneLine("\n"))
}

// A lot's name in an error turned the terminal's colors.
func TestLines(t *testing.T) {
	assert.Equal(t, "A [31mlot\n\tof two", Lines("A\x1b[31mlot\n\tof \u202etwo\xff"))
}

func TestFileName(t *testing.T) {
	assert.Equal(t, "Lot_7_A", FileName("Lot 7/A"))
	assert.Equal(t, "Größe-1.2", FileName("Größe-1.2"))
	assert.Equal(t, strings.Repeat("a", 99), FileName(strings.Repeat("a", 99)+"ö"), "no letter is cut in two")
}

func TestFold(t *testing.T) {
	var b strings.Builder
	Fold(&b, "note  ", "one two\nthree four", 14)
	Fold(&b, "a  ", "", 14)
	Fold(&b, "b  ", "longer-than-the-width x", 14)
	assert.Equal(t, "note  one two\n      three\n      four\na  \nb  longer-than\n   -the-width\n   x\n", b.String())
}

// A path longer than a line ran on beyond the edge of the terminal; it is broken behind a slash.
func TestFoldBreaksPaths(t *testing.T) {
	var b strings.Builder
	Fold(&b, "at  ", "a /home/planner/jobs/ridge.tif b", 18)
	assert.Equal(t, "at  a\n    /home/planner/\n    jobs/ridge.tif\n    b\n", b.String())
}

// A long name pushed figures off the terminal: words are cut, figures never.
func TestColumnsWithin(t *testing.T) {
	var b strings.Builder
	ColumnsWithin(&b, [][]string{{"machine", "cover", "acres"}, {"a machine with a long name", "all", "1,234.5"}}, 2, 32)
	assert.Equal(t, "machine          cover    acres\na machine with…  all    1,234.5\n", b.String())
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, len([]rune(line)), 33)
	}
	b.Reset()
	ColumnsWithin(&b, [][]string{{"a", "1"}}, 1, 80)
	assert.Equal(t, "a  1\n", b.String())
	assert.Equal(t, "lon…", Cut("longer", 4))
	assert.Equal(t, "long", Cut("long", 4))
}

func TestColumns(t *testing.T) {
	var b strings.Builder
	Columns(&b, [][]string{{"zone", "name", "acres"}, {"é", "x", "10.5"}, {"longer", ""}, {"a", "b", "1", "more"}}, 2)
	assert.Equal(t, "zone    name  acres\né       x      10.5\nlonger\na       b         1  more\n", b.String())
}
