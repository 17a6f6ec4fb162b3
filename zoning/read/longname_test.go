package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A name of a megabyte is no name: it made tables and pictures of any size.
func TestALongNameIsCutShort(t *testing.T) {
	name, note := lotName([]string{strings.Repeat("山", 400_000)}, 3)
	assert.Equal(t, strings.Repeat("山", mostName)+"…", name)
	assert.Contains(t, note, "its name has 400000 letters")
	name, note = lotName([]string{" Ka\xffʻū "}, 3)
	assert.Equal(t, "Kaʻū", name)
	assert.Empty(t, note)
}
