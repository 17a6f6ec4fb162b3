package plan

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/zoning"
)

// CostModel turns the figures of a machine into hours and dollars. [ByRate] is the one that
// plans use; who counts otherwise gives [Book] a model of his own, or puts ByRate into a
// struct and replaces the one method that differs. Methods are called many
// thousand times for a plan, one after the other, and return the same for the same
// arguments. [Make] refuses a model that returns anything but numbers of zero or more.
type CostModel interface {
	// HoursPerAcre is how many productive hours one machine takes for an acre of a class
	// of cover where nothing else slows it; 0 where it does not work such cover.
	HoursPerAcre(d *Draw, c Cover) float64
	// Ease is the part of that pace that it keeps on a piece: hours are those of the net
	// acres over it. 0 where it does not work the piece.
	Ease(f *Figures, p Piece) float64
	// WorkUSD is what hours of one machine cost. The hours of pieces are added up, so it is
	// in proportion to both kinds.
	WorkUSD(d *Draw, productiveH, scheduledH float64) float64
	// MoveUSD is what bringing one machine to the job and back costs.
	MoveUSD(d *Draw) float64
}

// Draw is one machine's figures with one value out of every range: the likeliest, or one of
// those drawn for the spreads of a plan. A model may read it and must not change it.
type Draw struct {
	Figures *Figures // as their owner gave them
	Job     *Job

	AcresPerHour                   [covers]float64 // of productive time; 0 does not work it
	Machine, Operator, Fuel, Teeth float64         // $/h
	Obstacles, Finish              float64         // factors of every rate
	MoveH                          float64         // hours of moving one machine in and out
	Permit                         bool            // whether its load needs a permit on the road
}

// ByRate is the cost model of the package's documentation: acres over a rate, dollars by
// the hour.
type ByRate struct{}

// HoursPerAcre is the rate turned over, with what obstacles and finish take off it.
func (ByRate) HoursPerAcre(d *Draw, c Cover) float64 {
	if !(d.AcresPerHour[c] > 0) {
		return 0
	}
	return 1 / (d.AcresPerHour[c] * d.Obstacles * d.Finish)
}

// Ease is what slope and typical stems leave of the rate; stems that nobody gave take nothing.
func (ByRate) Ease(f *Figures, p Piece) float64 {
	e := f.SlopeFactor.At(p.SlopeMeanPct)
	if p.StemIn > 0 {
		e *= f.StemFactor.At(p.StemIn)
	}
	return e
}

// WorkUSD pays machine and operator by the scheduled hour, fuel and teeth by the
// productive one.
func (ByRate) WorkUSD(d *Draw, productiveH, scheduledH float64) float64 {
	return scheduledH*(d.Machine+d.Operator) + productiveH*(d.Fuel+d.Teeth)
}

// MoveUSD is haul and operator there and back, with a permit for each load and way.
func (ByRate) MoveUSD(d *Draw) float64 {
	usd := 2*d.Job.HaulMiles*d.Figures.HaulPerMile*float64(d.Figures.Loads) + d.MoveH*d.Operator
	if d.Permit {
		usd += 2 * d.Figures.PermitUSD * float64(d.Figures.Loads)
	}
	return usd
}

// checkModel says what a cost model returns that cannot be used, for the figures of each
// machine.
func checkModel(model CostModel, v values) error {
	for i := range v.machines {
		d := &v.machines[i]
		for _, c := range Classes() {
			if err := d.usable("hours an acre of "+c.String()+" cover", model.HoursPerAcre(d, c)); err != nil {
				return err
			}
		}
		work, byProductive, byScheduled := model.WorkUSD(d, 3, 5), model.WorkUSD(d, 1, 0), model.WorkUSD(d, 0, 1)
		for _, usd := range []float64{work, byProductive, byScheduled} {
			if err := d.usable("dollars of work", usd); err != nil {
				return err
			}
		}
		if want := 3*byProductive + 5*byScheduled; math.Abs(work-want) > tieOf(want) {
			return &Error{fmt.Sprintf("the cost model gives $%g for 3 productive and 5 scheduled hours of %s, and $%g for the hours one by one", work, d.Figures.Key, want),
				"let WorkUSD be in proportion to both kinds of hours; what does not depend on hours belongs to MoveUSD"}
		}
		if err := d.usable("dollars of moving", model.MoveUSD(d)); err != nil {
			return err
		}
	}
	return nil
}

// checkEase does the same for the ease of the pieces that machines may work.
func checkEase(model CostModel, kinds []kind, s *Site) error {
	for _, k := range kinds {
		for _, p := range s.Pieces {
			if p.closed() || p.May&(1<<k.fleet) == 0 {
				continue
			}
			if err := (&Draw{Figures: k.figures}).usable("ease", model.Ease(k.figures, p)); err != nil {
				return err
			}
		}
	}
	return nil
}

// usable refuses what is no number of zero or more.
func (d *Draw) usable(what string, v float64) error {
	if isAmount(v) {
		return nil
	}
	return &Error{fmt.Sprintf("the cost model gives %g %s for %s", v, what, d.Figures.Key), "let it return a number of zero or more"}
}

const metresPerMile = 5280 * zoning.MetresPerFoot
