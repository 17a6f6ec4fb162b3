package terrain

import "math"

// Heights of ground, in metres, from the shore of the Dead Sea to Everest with some to
// spare. What lies outside is no ground: a void whose value was not declared, which
// would else be a flat pit that any machine may work, or heights in another unit.
const (
	LowestGroundM  = -500
	HighestGroundM = 9000
)

// IsGround reports whether a height in metres is one that ground has; NaN is none.
func IsGround(heightM float64) bool { return heightM >= LowestGroundM && heightM <= HighestGroundM }

// groundOnly is heights with voids for what no ground has. What it is given stays as it
// is.
func groundOnly(heightsM []float32) []float32 {
	out := heightsM
	for i, h := range heightsM {
		if h != h || IsGround(float64(h)) {
			continue
		}
		if &out[0] == &heightsM[0] {
			out = append([]float32(nil), heightsM...)
		}
		out[i] = float32(math.NaN())
	}
	return out
}
