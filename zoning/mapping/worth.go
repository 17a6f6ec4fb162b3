package mapping

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
)

// Worth says what slopes from some elevation are worth to a fleet.
type Worth struct {
	Scale         string    // the ground over which slope would be taken
	Error         string    // the vertical error reckoned with, and where it is from
	SlopeErrorPct float64   // standard deviation of a slope, in points of percent
	SurePct       []float64 // by machine: measured slopes below it are surely within its limit, on the median of the ground
	Warnings      []string  // what the heights themselves make doubtful

	hides bool // whether cells hide slope, less than the median on half of the ground
}

// WorthOf judges elevation without a map.
func WorthOf(e *terrain.Elevation, fleet zoning.Fleet, o Options) (Worth, error) {
	if err := check(fleet, o); err != nil {
		return Worth{}, err
	}
	if err := checkElevation(e); err != nil {
		return Worth{}, err
	}
	cellM := e.Sources[0].CellM
	sc, err := scaleFor(o.Scale, fleet, cellM)
	if err != nil {
		return Worth{}, err
	}
	if err := sc.quieten(e.Grid); err != nil {
		return Worth{}, err
	}
	look, err := quality.NewLook(context.Background(), e.Grid)
	if err != nil {
		return Worth{}, err
	}
	worth, err := resolve(context.Background(), e, look, &sc, fleet, o.Noise)
	if err != nil {
		return Worth{}, err
	}
	noise, cov := worth.noise, worth.spread.Cov
	w := Worth{
		Scale:         sc.words,
		Error:         fmt.Sprintf("%.2g m, %s", noise.SigmaM, noise.From),
		SlopeErrorPct: 100 * cov.MaxSigma(),
		SurePct:       make([]float64, len(fleet)),
		hides:         worth.spread.Hidden != nil && !worth.coarse,
	}
	for i, m := range fleet {
		if !worth.coarse {
			w.SurePct[i] = 100 * worth.spread.SureBelow(m.SteepestPct()/100-zoning.TieRise, slope.Certainty)
		}
	}
	for _, words := range []string{sc.warn(o.Units), worth.unseen} {
		if words != "" {
			w.Warnings = append(w.Warnings, words)
		}
	}
	w.Warnings = append(w.Warnings, sc.tooNoisy(fleet, e.Grid)...)
	doubts, err := look.Of(e).Doubts(context.Background(), assumesMetres(e.Sources), o.Detectors...)
	if err != nil {
		return Worth{}, err
	}
	for _, d := range doubts {
		w.Warnings = append(w.Warnings, d.Words)
	}
	return w, nil
}

// SureWords says for people what a fleet may rely on.
func (w Worth) SureWords(fleet zoning.Fleet) []string {
	var out []string
	for i, m := range fleet[:min(len(fleet), len(w.SurePct))] {
		words := fmt.Sprintf("%s %.4g%%: surely within it where %.1f%% or less is measured", m.Name, m.SteepestPct(), w.SurePct[i])
		if w.SurePct[i] == 0 {
			words = fmt.Sprintf("%s %.4g%%: no measured slope is surely within it", m.Name, m.SteepestPct())
		}
		out = append(out, words)
	}
	at := fmt.Sprintf("at %.0f%% certainty", 100*slope.Certainty)
	if w.hides {
		at += ", where cells hide as much as on the median of the ground: on smoother ground more is sure"
	}
	return append(out, at)
}
