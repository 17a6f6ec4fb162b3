package plan

import "fmt"

// Cover is how much growth stands on ground, by class: what a machine's rate hangs
// on most.
type Cover uint8

// Classes of cover. CoverNotGiven has hours by class and no price.
const (
	CoverNotGiven Cover = iota
	Open                // grass and scattered brush
	Light               // brush that a person walks through
	Medium              // brush and saplings that a person pushes through
	Heavy               // closed stands of saplings and small trees
	covers
)

var coverKeys = [covers]string{"not given", "open", "light", "medium", "heavy"}

// String is the class's name in files; "not given" for none.
func (c Cover) String() string {
	if c >= covers {
		return fmt.Sprintf("cover %d", uint8(c))
	}
	return coverKeys[c]
}

// Classes are the classes from the least growth to the most.
func Classes() []Cover { return []Cover{Open, Light, Medium, Heavy} }

// ParseCover reads a class by its name; "" is [CoverNotGiven].
func ParseCover(s string) (Cover, error) {
	if s == "" {
		return CoverNotGiven, nil
	}
	for _, c := range Classes() {
		if s == c.String() {
			return c, nil
		}
	}
	return CoverNotGiven, &Error{Problem: fmt.Sprintf("%q is not a class of cover", s),
		Cure: "write open, light, medium or heavy"}
}
