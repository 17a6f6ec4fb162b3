package plan

import (
	"fmt"
	"math"
	"time"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/site"
)

// Rest is what becomes of ground that no machine brought works.
type Rest string

// What becomes of the rest.
const (
	Leave Rest = "leave" // it stays standing
	Hand  Rest = "hand"  // a hand crew clears it, at Job.HandPerAcre
)

// Job is what the owner knows of a job as a whole. Money is in dollars; shares are
// parts of 1.
type Job struct {
	HaulMiles    float64 // one way
	HaulMPH      float64
	SupportTruck Range   // $/h while the crew is on the site
	Productive   Range   // share of a scheduled hour in which a machine works
	DayH         float64 // scheduled hours of a day
	WeekDays     float64 // working days of a week
	Weather      Range   // share of working days lost to weather
	Obstacles    Range   // factor of every rate: stumps, rock, wire, trash
	Finish       Range   // factor of every rate: how fine the work is to be

	Terms

	Rest             Rest
	HandPerAcre      Range   // $/ac of hand work
	StandingPerAcre  float64 // $/ac: left_standing of an older file, which Terms.WorthPerAcre replaces
	LeastWorkDays    float64 // days of work of its own without which a machine joins no crew
	MinimumUSD       float64 // the least price
	Overhead         float64 // share of cost
	Contingency      float64 // share of cost with overhead
	Margin           float64 // share of price
	WindowDays       float64 // calendar days; 0 none
	Start, End       time.Time
	BridgeLb, GateFt float64 // on the way in: posted weight, width; 0 none
	TreeFt           float64 // the tallest trees
	Setback          string  // from drainage lines, as [site.ParseSetback] reads it; "" none chosen
	Basis            string

	figuresText
}

// JobKeys are the keys of a job in a file.
func JobKeys() []string {
	return []string{"haul_miles", "haul_speed", "support_truck", "productive", "day", "week", "weather", "obstacles",
		"finish", "rest", "hand_work", "left_standing", "worth", "least_work", "minimum_charge", "overhead", "contingency", "margin", "window",
		"start", "end", "days", "bring", "budget", "bridge", "gate", "tree_height", "setback", "basis"}
}

// Set reads the value of one key, as its owner's. Errors are [*Error], in US units.
func (j *Job) Set(key, value string) error { return j.SetIn(measure.US, key, value) }

// SetIn is [Job.Set] for people who are told in a system of units: errors ask for the value in
// that. A value in the unit of the other is read all the same.
func (j *Job) SetIn(system measure.Units, key, value string) error {
	if err := j.set(system, key, value); err != nil {
		return inKey(key, err)
	}
	j.note(key, value)
	return nil
}

func (j *Job) set(system measure.Units, key, value string) (err error) {
	switch key {
	case "haul_miles":
		j.HaulMiles, err = miles.in(system).number(value)
	case "haul_speed":
		j.HaulMPH, err = milesPerHour.in(system).number(value)
	case "support_truck":
		j.SupportTruck, err = perHour.values(value)
	case "productive":
		j.Productive, err = percent.values(value)
	case "day":
		j.DayH, err = dayHours.number(value)
	case "week":
		j.WeekDays, err = weekDays.number(value)
	case "weather":
		j.Weather, err = lossPercent.values(value)
	case "obstacles":
		j.Obstacles, err = percent.values(value)
	case "finish":
		j.Finish, err = percent.values(value)
	case "rest":
		if j.Rest = Rest(value); j.Rest != Leave && j.Rest != Hand {
			err = &Error{fmt.Sprintf("%q is no way to deal with ground that no machine works", value), "write leave or hand"}
		}
	case "hand_work":
		j.HandPerAcre, err = perAcre.in(system).values(value)
	case "left_standing":
		j.StandingPerAcre, err = perAcre.in(system).number(value)
	case "worth":
		j.WorthPerAcre, err = perAcre.in(system).number(value)
	case "least_work":
		j.LeastWorkDays, err = leastDays.number(value)
	case "minimum_charge":
		j.MinimumUSD, err = money.number(value)
	case "overhead":
		j.Overhead, err = addPercent.number(value)
	case "contingency":
		j.Contingency, err = addPercent.number(value)
	case "margin":
		j.Margin, err = lossPercent.number(value)
	case "window":
		j.WindowDays, err = days.number(value)
	case "start":
		j.Start, err = date(value)
	case "end":
		j.End, err = date(value)
	case "days":
		j.Days, err = days.number(value)
	case "bring":
		j.Bring, err = keys(value)
	case "budget":
		j.BudgetUSD, err = money.number(value)
	case "bridge":
		j.BridgeLb, err = pounds.in(system).number(value)
	case "gate":
		j.GateFt, err = feet.in(system).number(value)
	case "tree_height":
		j.TreeFt, err = feet.in(system).number(value)
	case "setback":
		j.Setback = value
		if _, bad := site.ParseSetback(value); bad != nil {
			err = &Error{fmt.Sprintf("%q is no setback", value), "write a published rule, such as filter-strip, or a width, such as 50ft"}
		}
	case "basis":
		j.Basis = value
	default:
		return unknownKey(JobKeys())
	}
	return err
}

// Price is what a cost is charged at: cost · (1 + overhead) · (1 + contingency) /
// (1 − margin), and no less than the minimum; where nothing is done there is no charge.
func (j *Job) Price(costUSD float64) float64 {
	if costUSD == 0 {
		return 0
	}
	return max(j.MinimumUSD, j.markup()*costUSD)
}

func (j *Job) markup() float64 { return (1 + j.Overhead) * (1 + j.Contingency) / (1 - j.Margin) }

// windowWorkingDays is how many days of work fit the window, those lost to weather
// taken off; +Inf where there is none.
func (j *Job) windowWorkingDays() float64 {
	calendar := math.Inf(1)
	if j.WindowDays > 0 {
		calendar = j.WindowDays
	}
	if !j.Start.IsZero() && !j.End.IsZero() {
		calendar = min(calendar, j.End.Sub(j.Start).Hours()/24+1)
	}
	return calendar * j.WeekDays / 7 * (1 - j.Weather.Likely)
}

// calendarDays is how long working days take on the calendar.
func (j *Job) calendarDays(working, weather float64) float64 {
	return working / (1 - weather) * 7 / j.WeekDays
}

// check says what is missing or at odds.
func (j *Job) check() error {
	for _, k := range []string{"haul_miles", "haul_speed", "support_truck", "productive", "day", "week", "weather",
		"obstacles", "finish", "rest", "hand_work", "least_work", "tree_height"} {
		if _, ok := j.text[k]; !ok {
			return &Error{"the job has no " + k, "add a line " + k + ": under job:"}
		}
	}
	switch {
	case j.Start.IsZero() != j.End.IsZero():
		return &Error{"the job has one of start and end", "write both, or window: with a number of days"}
	case j.End.Before(j.Start):
		return &Error{"the job ends before it starts", "write the earlier date as start"}
	case j.Rest != Leave && j.Rest != Hand:
		return &Error{fmt.Sprintf("job: rest is %q", j.Rest), "use Leave or Hand"}
	}
	return j.checkNumbers()
}

// perHour turns acres of a day of work into those of a productive hour of it.
func (j *Job) perHour(acres float64, perDay bool) float64 {
	if perDay {
		return acres / (j.DayH * j.Productive.Likely)
	}
	return acres
}
