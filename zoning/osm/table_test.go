package osm

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/text"
)

// The package comment's table is what the rules say: a reader of it must not be told of other
// tags than those that are read.
func TestTheTableOfTheDocsIsThatOfTheRules(t *testing.T) {
	var b strings.Builder
	for _, r := range rules {
		what := string(r.kind)
		if r.area {
			what += ", area where it closes"
		}
		if r.halfM > 0 {
			what += fmt.Sprintf(", %.0f ft around", r.halfM/foot)
		}
		values := r.values
		if values == "" {
			values = "any but no"
		}
		text.Fold(&b, "", fmt.Sprintf("%s = %s: %s", r.key, values, what), 88)
	}
	want := ""
	for line := range strings.Lines(b.String()) {
		want += "//\t" + line
	}
	doc, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	assert.Contains(t, string(doc), want)
}
