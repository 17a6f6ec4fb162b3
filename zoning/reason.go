package zoning

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"unicode"
)

// Reason is why a machine does not work ground: the key of a rule, for files, and its
// words, for people.
type Reason struct{ Key, Words string }

// Why is a [Reason] in a byte, as cells hold it: one of the constants below, or, from
// [Reasons] on, that of a rule which the maker of a map added. [ZoneMap.Reason] tells which.
// A cell has the first rule that keeps a machine off, in the order of the constants; added
// rules are asked after [LeaveTrees].
type Why uint8

// The rules that every map asks.
const (
	Works          Why = iota // it may work it
	Closed                    // drawn as no-go, or water
	InSetback                 // too near to something that is to be kept from
	NotMeasured               // no elevation
	TooSteep                  // slope above its limit
	TooGreatAStep             // step or roughness under it
	NearDropOff               // nearer to the edge of a drop than its footprint, or than the drop is high
	NearCrest                 // nearer than its length to a crest beyond which the ground falls steeper than it may drive
	TooSoft                   // bears less than the machine presses
	TooMuchGrowth             // taller or thicker than it handles
	LeaveTrees                // selective clearing, and it is for production
	OverPosting               // a gate or bridge that it is too heavy, wide or high for
	TooNarrow                 // it does not fit between what stops it
	NoTurn                    // too far up or down the fall line from where it can turn
	OnlyAcross                // only to be reached across the slope
	NoWayIn                   // not to be reached from where it is unloaded
	OutOfReach                // may drive there, or stand near, but not work it
	TooSmallAPatch            // not worth moving to
	reasons
)

// Reasons is how many reasons every map has.
const Reasons = int(reasons)

// MostAdded is how many reasons may be added to them: a cell holds one in a byte.
const MostAdded = math.MaxUint8 + 1 - Reasons

var everyReason = [Reasons]Reason{
	Works: {"works", "may work it"}, Closed: {"closed", "closed to machines"}, InSetback: {"setback", "setback"},
	NotMeasured: {"no_data", "no elevation"}, TooSteep: {"slope", "slope"}, TooGreatAStep: {"step", "step or roughness"},
	NearDropOff: {"drop-off", "drop-off"}, NearCrest: {"crest", "crest of a steep face"}, TooSoft: {"soft-ground", "soft ground"}, TooMuchGrowth: {"growth", "growth"},
	LeaveTrees: {"leave-trees", "leave trees"}, OverPosting: {"posting", "gate or bridge"}, TooNarrow: {"width", "too narrow"}, NoTurn: {"no-turn", "no turn"},
	OnlyAcross: {"cross-slope", "cross slope"}, NoWayIn: {"no-access-route", "no access route"}, OutOfReach: {"reach", "out of reach"},
	TooSmallAPatch: {"patch-size", "patch too small"},
}

// Among is the reason that a cell of a map holds to which reasons were added; one that is
// not among them has the number for its key.
func (w Why) Among(added []Reason) Reason {
	switch n := int(w); {
	case n < Reasons:
		return everyReason[n]
	case n-Reasons < len(added):
		return added[n-Reasons]
	}
	return Reason{fmt.Sprintf("reason-%d", w), fmt.Sprintf("reason %d, which the map does not name", w)}
}

// String is the key of a reason that every map has.
func (w Why) String() string { return w.Among(nil).Key }

var reasonKey = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// CheckReasons returns what is wrong with reasons that are added to those of every map: more
// than [MostAdded], a key that is not made of small letters, digits and single hyphens or
// that another reason has, or words that are none or do not fit on a line.
func CheckReasons(added []Reason) error {
	if len(added) > MostAdded {
		return fmt.Errorf("%d reasons are added; a map takes %d", len(added), MostAdded)
	}
	taken := map[string]bool{}
	for _, r := range everyReason {
		taken[r.Key] = true
	}
	for _, r := range added {
		switch {
		case !reasonKey.MatchString(r.Key):
			return fmt.Errorf("the key %q of a reason; write small letters and digits, with hyphens between: wet-meadow", r.Key)
		case taken[r.Key]:
			return fmt.Errorf("two reasons have the key %q; give each its own", r.Key)
		case strings.TrimSpace(r.Words) == "" || strings.ContainsFunc(r.Words, func(c rune) bool { return !unicode.IsPrint(c) }):
			return fmt.Errorf("the words %q of the reason %s; say on one line what keeps machines off", r.Words, r.Key)
		}
		taken[r.Key] = true
	}
	return nil
}
