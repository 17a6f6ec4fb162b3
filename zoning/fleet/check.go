package fleet

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/zoning"
)

// check compares the values of one machine with each other.
func (e entry) check() error {
	for _, check := range []func() error{e.checkLimits, e.checkAbove, e.checkNeeds, e.checkBases} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

// checkLimits holds the machine to the rules that limits keep everywhere, in the words of
// the file.
func (e entry) checkLimits() error {
	var bad *zoning.LimitError
	if !errors.As(e.machine.CheckLimits(), &bad) {
		return nil
	}
	key, bound, t := string(bad.Limit), string(bad.Bound), e.text
	switch {
	case bad.Bound == "":
		return e.refuse(key, "write at most 60deg, and no more than the machine's manual allows",
			"%s %s of %s is above 60deg (173.2%%), the steepest that any machine is planned for", key, t[key], e.title())
	case bad.Bound == zoning.RatedMax:
		return e.refuse(bound, "lower the limit to the rating or below, or check the rating in the manual",
			"rated_max %s of %s is below its limit %s", t[bound], e.title(), t[key])
	case bad.AcrossAlong():
		return e.refuse(e.firstWritten(key, bound, "swing_cross", "wet_cross", "cross"),
			fmt.Sprintf("write %s: %.4g%% or less", key, bad.MostPct),
			"%s is held to %.4g%% along but %.4g%% across %s", e.title(), bad.MostPct, bad.Pct, heldOn(bad.Limit))
	}
	return e.refuse(key, "lower it: wet ground allows no more than dry, and a boom at work no more than driving",
		"%s %s of %s is above its %s %s", key, t[key], e.title(), bound, t[bound])
}

// heldOn says where a limit holds.
func heldOn(limit zoning.Limit) string {
	on := "on dry ground"
	s, _ := zoning.SpecOf(limit)
	if s.Ground == zoning.Wet {
		on = "on wet ground"
	}
	if s.Standing {
		on = "standing " + on
	}
	return on
}

func (e entry) firstWritten(keys ...string) string {
	for _, k := range keys {
		if e.line[k] > 0 {
			return k
		}
	}
	return ""
}

// checkAbove refuses a slope to begin at that the machine never comes to.
func (e entry) checkAbove() error {
	m, t := e.machine, e.text
	for _, s := range zoning.Specs() {
		if key := string(s.Key); s.Begins && *s.Of(&m) >= m.LimitPct {
			return e.refuse(key, "write a slope below the limit, or delete the line",
				"%s %s of %s could never apply: its limit is %s", key, t[key], e.title(), t["limit"])
		}
	}
	return nil
}

// checkNeeds refuses keys that mean nothing without others.
func (e entry) checkNeeds() error {
	const (
		reach  = "write both, or neither for a machine without a boom"
		tether = "write both, or neither for a machine that works without a tether"
		allows = "write the length of its tether and the key of the machine that holds it, or delete tether_basis"
	)
	for _, n := range []struct{ key, needs, cure string }{
		{"reach_up", "reach", reach},
		{"reach_down", "reach", reach},
		{"tether_basis", "tether_above", tether},
		{"tether", "tether_above", tether},
		{"anchor", "tether_above", tether},
		{"tether_basis", "tether", allows},
		{"tether_basis", "anchor", allows},
	} {
		if e.line[n.key] > 0 && e.line[n.needs] == 0 {
			return e.refuse(n.key, n.cure, "%s has %s but no %s", e.title(), n.key, n.needs)
		}
	}
	if e.line["reach"] > 0 && e.line["reach_up"]+e.line["reach_down"] == 0 {
		return e.refuse("reach", "write the steepest faces it works above and below it, such as reach_up: 100% and reach_down: 65%",
			"%s has reach but neither reach_up nor reach_down", e.title())
	}
	return nil
}

// checkBases refuses a basis of what the machine does not say.
func (e entry) checkBases() error {
	for _, b := range e.bases {
		if e.line[b.key] == 0 {
			return &Error{Line: b.line,
				Problem: fmt.Sprintf("the basis of %s is for %s, which the machine does not have", e.title(), b.key),
				Cure:    "add " + b.key + " to the machine, or delete this line"}
		}
	}
	return nil
}

// checkAgainst compares a machine with those before it in the file.
func (e entry) checkAgainst(earlier []entry) error {
	for _, o := range earlier {
		if o.machine.Key == e.machine.Key {
			return e.refuse("key", "give each machine a key of its own",
				"key %q is already taken by the machine on line %d", e.machine.Key, o.line["key"])
		}
	}
	for _, o := range earlier {
		if covers(o.machine, e.machine) {
			return e.refuse("limit", "list it before that one, write what it does better, or delete one of the two",
				"%s can never be first: its limit %s is not above the %s of %s on line %d, and it is better in nothing else",
				e.title(), e.text["limit"], o.text["limit"], o.title(), o.line["limit"])
		}
	}
	return nil
}

// checkAnchor looks for the machine that holds the tether among all of the file.
func (e entry) checkAnchor(all []entry) error {
	if e.machine.Anchor == "" {
		return nil
	}
	var others []string
	for _, o := range all {
		switch o.machine.Key {
		case e.machine.Key:
		case e.machine.Anchor:
			return nil
		default:
			others = append(others, o.machine.Key)
		}
	}
	cure := "add the machine that holds the tether to the file"
	if len(others) > 0 {
		cure = "write the key of the machine that holds the tether, one of " + list(others) + ", or add it to the file"
	}
	return e.refuse("anchor", cure, "anchor %q of %s is no other machine of the file", e.machine.Anchor, e.title())
}
