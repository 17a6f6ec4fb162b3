package relief

import (
	"fmt"
	"math"
	"strconv"

	"github.com/acreband/acreband/terrain"
)

// ContourInterval is the rise from one contour to the next.
type ContourInterval struct {
	Step float64 // in Unit
	Unit string  // "ft" (international) or "m"
}

// ContourLevel is the height of a contour.
type ContourLevel struct {
	HeightM float64
	Label   string // with its unit, such as "840 ft"
	Index   bool   // every fifth is drawn heavier and labelled
}

// contourSteps are the intervals in use; whole multiples of them make index
// contours of round figures.
var contourSteps = map[string][]float64{
	"ft": {1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000},
	"m":  {0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000},
}

// indexEvery is how many intervals lie between index contours.
const indexEvery = 5

const metresPerFoot = 0.3048

// mostLevels is more contours than ground has at any of the intervals in use.
const mostLevels = 1 << 17

// intervalPerSigma times the standard deviation of heights is the least
// interval that they bear out: FGDC-STD-007.3-1998 (NSSDA), appendix 3-D, by
// which a contour interval is 3.2898 times the vertical root mean square error.
// It is the National Map Accuracy Standards of 1947 in another form: 90% of
// heights within half an interval.
const intervalPerSigma = 3.2898

// ChooseContourInterval returns the least interval, in "ft" or "m", that draws
// at most so many contours between two heights and is borne out by heights of a
// standard deviation of sigmaM metres (0 where it is not known). Of any other
// unit it is in metres. Heights that no ground has are an error.
func ChooseContourInterval(lowM, highM, sigmaM float64, most int, unit string) (ContourInterval, error) {
	if !terrain.IsGround(lowM) || !terrain.IsGround(highM) {
		return ContourInterval{}, fmt.Errorf("contours between %g and %g m, which no ground has", lowM, highM)
	}
	steps, ok := contourSteps[unit]
	if !ok {
		steps, unit = contourSteps["m"], "m"
	}
	for _, step := range steps {
		i := ContourInterval{step, unit}
		if !(i.StepM() >= intervalPerSigma*sigmaM) {
			continue
		}
		levels, err := i.Levels(lowM, highM)
		if err != nil {
			return ContourInterval{}, err
		}
		if len(levels) <= most {
			return i, nil
		}
	}
	return ContourInterval{steps[len(steps)-1], unit}, nil
}

// StepM is the interval in metres.
func (i ContourInterval) StepM() float64 {
	if i.Unit == "ft" {
		return i.Step * metresPerFoot
	}
	return i.Step
}

// Levels lists the contours that two heights in metres have between them, the
// higher one included: ground no higher than the lower has no line, nor has ground
// without heights (NaN). An interval that leads nowhere is an error, and so are more
// contours than anyone can draw.
func (i ContourInterval) Levels(lowM, highM float64) ([]ContourLevel, error) {
	var out []ContourLevel
	step := i.StepM()
	if !(step > 0) || (highM-lowM)/step > mostLevels || math.IsInf(lowM, 0) {
		return nil, fmt.Errorf("contours every %g %s from %g to %g m: give an interval above 0, and heights that ground has", i.Step, i.Unit, lowM, highM)
	}
	for k := math.Floor(lowM/step) + 1; k*step <= highM; k++ {
		out = append(out, ContourLevel{
			HeightM: k * step,
			Label:   strconv.FormatFloat(k*i.Step, 'f', -1, 64) + " " + i.Unit,
			Index:   math.Mod(k, indexEvery) == 0,
		})
	}
	return out, nil
}
