package textfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A limit below none read nothing and said that all was well; no reader panicked.
func TestBrokenLimitsAreRefused(t *testing.T) {
	for _, l := range []Limits{{Bytes: -1}, {Tokens: -1}, {Each: -1}, {Depth: -1}} {
		_, err := l.ReadAll(strings.NewReader("[1]"))
		assert.ErrorContains(t, err, "write 0 or more")
		for name, err := range map[string]error{
			"JSON": l.JSON([]byte("[1]")), "XML": l.XML([]byte("<a/>")), "YAML": l.YAML([]byte("a: 1")), "Table": l.Table([]byte("a,b")),
		} {
			assert.ErrorContains(t, err, "write 0 or more", name)
		}
	}
	_, err := Limits{}.ReadAll(nil)
	assert.ErrorContains(t, err, "no file to read")
	assert.ErrorContains(t, Limits{}.JSONFrom(nil), "no file to read")
	assert.ErrorContains(t, Limits{}.XMLFrom(nil), "no file to read")
	assert.NoError(t, Limits{}.JSON(nil))
}
