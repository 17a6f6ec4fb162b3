package measure

import "fmt"

// Units are what figures are told in. The zero value is [US].
type Units string

// The two systems.
const (
	US     Units = ""
	Metric Units = "metric"
)

// Parse reads "us" or "metric"; "" is US. Anything else is an error.
func Parse(text string) (Units, error) {
	switch text {
	case "", "us":
		return US, nil
	case string(Metric):
		return Metric, nil
	}
	return US, fmt.Errorf("units %q; write us or metric", text)
}

// String is the word that [Parse] reads.
func (u Units) String() string {
	if u == US {
		return "us"
	}
	return string(u)
}

// Check refuses what is neither of the two.
func (u Units) Check() error {
	_, err := Parse(string(u))
	return err
}

func (u Units) metric() bool { return u == Metric }

// Either is the word of one of the two systems, for what has no method here.
func (u Units) Either(us, metric string) string {
	if u.metric() {
		return metric
	}
	return us
}
