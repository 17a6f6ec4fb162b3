package text

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Degrees writes a spot for people: latitude, then longitude, to 10 m.
func Degrees(p orb.Point) string {
	ns, ew := "N", "E"
	if p[1] < 0 {
		ns = "S"
	}
	if p[0] < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.4f %s, %.4f %s", math.Abs(p[1]), ns, math.Abs(p[0]), ew)
}
