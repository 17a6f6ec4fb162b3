package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The short help of map names each of its flags once, fits a terminal, and begins with what
// people type.
func TestHelpOfMap(t *testing.T) {
	var out bytes.Buffer
	require.Equal(t, exitDone, run([]string{"map", "--help"}, streams{&out, &out}))
	lines := strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
	assert.LessOrEqual(t, len(lines), 60)
	for _, line := range lines {
		assert.LessOrEqual(t, len(line), 80, line)
	}
	assert.True(t, strings.HasPrefix(lines[2], "acreband map --elevation "), lines[2])

	told := map[string]int{}
	for _, g := range mapHelp {
		for _, r := range g.rows {
			for _, f := range strings.Fields(r.flags) {
				told[f]++
			}
		}
	}
	for _, flag := range flagsOf(t, "map") {
		assert.Equal(t, 1, told[flag], flag)
		delete(told, flag)
	}
	assert.Empty(t, told, "flags that map does not have")
}

// Every flag is told whole where that is asked for.
func TestHelpAll(t *testing.T) {
	var out bytes.Buffer
	require.Equal(t, exitDone, run([]string{"map", "--help-all"}, streams{&out, &out}))
	for _, flag := range flagsOf(t, "map") {
		assert.Contains(t, out.String(), "--"+flag)
	}
}

func flagsOf(t *testing.T, command string) (names []string) {
	t.Helper()
	var c cli
	parser, err := kong.New(&c, kong.Vars{"version": "", "kinds": "", "outputs": "", "usual": "", "workers": ""}, kong.Bind(streams{}))
	require.NoError(t, err)
	for _, node := range parser.Model.Children {
		if node.Name != command {
			continue
		}
		for _, f := range node.Flags {
			names = append(names, f.Name)
		}
	}
	require.NotEmpty(t, names)
	return names
}
