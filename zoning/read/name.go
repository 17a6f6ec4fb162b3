package read

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// usualNames are fields that name a lot where none is asked for.
var usualNames = []string{"lot", "name", "id"}

// nameFields returns the indices of the fields that may name a lot, first
// choice first.
func nameFields(fields []string, asked string) (indices []int) {
	if asked != "" {
		for i, f := range fields {
			if f == asked {
				return []int{i}
			}
		}
		return findField(fields, asked)
	}
	for _, usual := range usualNames {
		indices = append(indices, findField(fields, usual)...)
	}
	return indices
}

// findField returns the index of the first field of a name, in any case.
func findField(fields []string, name string) []int {
	for i, f := range fields {
		if strings.EqualFold(f, name) {
			return []int{i}
		}
	}
	return nil
}

// noSuchField says which fields the layers have where one is asked for to use it.
func noSuchField(asked, use string, layers []*layer) error {
	var there []string
	for _, l := range layers {
		there = append(there, l.fields...)
	}
	if len(there) == 0 {
		return fmt.Errorf("has no field %q to %s, nor any other", asked, use)
	}
	return fmt.Errorf("has no field %q to %s: its fields are %s", asked, use, strings.Join(unique(there), ", "))
}

func unique(names []string) (out []string) {
	seen := map[string]bool{}
	for _, n := range names {
		if !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out
}

// mostName is how many letters of a name are kept: one of a megabyte makes tables and
// pictures of any size.
const mostName = 200

// lotName is the first name that is filled, or the lot's place, and a note on either.
func lotName(values []string, place int) (name, note string) {
	for _, v := range values {
		if v = strings.TrimSpace(strings.ToValidUTF8(v, "")); v == "" {
			continue
		}
		if n := utf8.RuneCountInString(v); n > mostName {
			return string([]rune(v)[:mostName]) + "…", fmt.Sprintf("its name has %d letters, of which the first %d are kept", n, mostName)
		}
		return v, ""
	}
	return strconv.Itoa(place), ""
}

// noName is the note on a lot that is called by its place though there are fields for
// names.
func noName(values []string, name string) string {
	if len(values) == 0 || strings.TrimSpace(strings.ToValidUTF8(strings.Join(values, ""), "")) != "" {
		return ""
	}
	return "it has no name in the file and is called by its place, " + name
}
