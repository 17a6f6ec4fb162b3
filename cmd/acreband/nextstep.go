package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// nextWidth is how long a command may be that is printed to be typed again.
const nextWidth = 66

// nextStep is what to type after a map: the command again with what its answer lacks, such as the
// best of the proposed places to unload, or else the one that picks spots to measure.
func (c *mapCmd) nextStep(k *kong.Context, zones *zoning.ZoneMap, bring *plan.Plan) string {
	var lacks []string
	if slices.Contains(zones.Cautions, zoning.AccessNotChecked) {
		at := "LAT,LON"
		if places := zones.Access.Proposed; len(places) > 0 {
			at = fmt.Sprintf("%.5f,%.5f", places[0].At.Lat(), places[0].At.Lon())
		}
		lacks = append(lacks, "--staging "+at)
	}
	if bring != nil && len(bring.ByCover) > 0 {
		lacks = append(lacks, "--cover open|light|medium|heavy")
	}
	if lacks != nil {
		return "the same again with " + strings.Join(lacks, " ")
	}
	if again := commandLine(k, "checks"); len([]rune(again)) <= nextWidth {
		return again
	}
	return "acreband checks, with the same elevation, boundary, site and fleet"
}

// commandLine is another command with those of the flags given that it knows.
func commandLine(k *kong.Context, name string) string {
	other := map[string]bool{}
	for _, node := range k.Model.Children {
		if node.Name != name {
			continue
		}
		for _, group := range node.AllFlags(false) {
			for _, f := range group {
				other[f.Name] = true
			}
		}
	}
	takesValue := map[string]bool{}
	for _, f := range k.Flags() {
		takesValue[f.Name] = !f.IsBool()
	}
	line := []string{"acreband", name}
	for i := 1; i < len(k.Args); i++ {
		flag, _, joined := strings.Cut(strings.TrimPrefix(k.Args[i], "--"), "=")
		if strings.HasPrefix(k.Args[i], "--") && !other[flag] {
			if takesValue[flag] && !joined {
				i++
			}
			continue
		}
		line = append(line, quoted(k.Args[i]))
	}
	return strings.Join(line, " ")
}

// plainWord matches what a shell takes as it is.
var plainWord = regexp.MustCompile(`^[-\w./:,=%+@]+$`)

// quoted is a word as a POSIX shell takes it.
func quoted(word string) string {
	if plainWord.MatchString(word) {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
