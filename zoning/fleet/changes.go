package fleet

import (
	"fmt"

	"github.com/acreband/acreband/zoning"
)

// Changes says in words which keys of a machine differ, in the order of the file's keys.
func Changes(was, is zoning.Machine) (out []string) {
	before := keysOf(&was)
	for i, k := range keysOf(&is) {
		if then, now := inText(before[i].value), inText(k.value); then != now {
			out = append(out, fmt.Sprintf("%s was %s, is %s", k.name, then, now))
		}
	}
	return out
}

// inText is the value of a key for people; lengths are in meters.
func inText(v value) string {
	switch v := v.(type) {
	case slope:
		return number(*v.pct, "%")
	case amount:
		return number(*v.to, " "+string(v.spec.Unit))
	case words:
		return quoted(*v.to)
	case name:
		return quoted(*v.to)
	case work:
		return quoted(string(*v.to))
	}
	return ""
}

func number(v float64, unit string) string {
	if v == 0 {
		return "not given"
	}
	return fmt.Sprintf("%g%s", v, unit)
}

func quoted(text string) string {
	if text == "" {
		return "not given"
	}
	return fmt.Sprintf("%q", text)
}
