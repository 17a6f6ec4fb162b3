package slope

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// AspectTurn is how many steps of aspect make a turn.
const AspectTurn = 256

// aspectOf is the direction of the steepest fall for a rise of p along the row and
// q down the column, both per cell. With the row as the first axis on the ground
// and the second at right angles to it, the gradient is (p·√det, C·q + B·p), up to
// a factor, det being A·C - B².
func aspectOf(p, q float64, m terrain.Metric) uint8 {
	turn := math.Atan2(-(m.C*q+m.B*p), -p*math.Sqrt(m.A*m.C-m.B*m.B)) * (AspectTurn / (2 * math.Pi))
	return uint8(int(math.Floor(turn+0.5)) & (AspectTurn - 1))
}
