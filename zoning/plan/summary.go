package plan

import (
	"encoding/json"
	"math"
)

// Summary is a plan as it stands in JSON, its keys in fixed order.
type Summary struct {
	Estimate    string             `json:"estimate"`
	NetAcres    amount             `json:"net_acres"`
	GrossAcres  amount             `json:"gross_acres"`
	VerifyAcres amount             `json:"verify_acres"`
	Ladder      []rungSummary      `json:"ladder"`
	Rung        *int               `json:"recommended_rung,omitempty"` // index in Ladder
	Why         string             `json:"why,omitempty"`
	Recommended string             `json:"recommended,omitempty"`
	Options     []optionSummary    `json:"options"`
	ByCover     []byCoverSummary   `json:"by_cover,omitempty"`
	BreakEven   []breakEvenSummary `json:"break_even,omitempty"`
	RuledOut    []RuledOut         `json:"ruled_out,omitempty"`
	Excluded    []excludedSummary  `json:"excluded,omitempty"`
	Permits     []string           `json:"permits,omitempty"`
	ApartFt     amount             `json:"keep_apart_ft"`
	Assumed     []string           `json:"assumed"`
	Bases       []string           `json:"figures_from,omitempty"`
	Notes       []string           `json:"notes"`
	Cautions    []Caution          `json:"cautions"`
}

// optionSummary is an option in JSON.
type optionSummary struct {
	Goal            string           `json:"goal"`
	Also            []Goal           `json:"also,omitempty"`
	Crew            []broughtSummary `json:"crew"`
	Tasks           []taskSummary    `json:"tasks"`
	LeftAcres       amount           `json:"left_standing_acres"`
	LeftByHandUSD   amount           `json:"left_standing_by_hand_usd"`
	HandAcres       amount           `json:"hand_work_acres"`
	ProductiveHours amount           `json:"productive_hours"`
	ScheduledHours  amount           `json:"scheduled_hours"`
	MovingHours     amount           `json:"moving_hours"`
	WorkingDays     amount           `json:"working_days"`
	CalendarDays    amount           `json:"calendar_days"`
	CostUSD         amount           `json:"cost_usd"`
	PriceUSD        amount           `json:"price_usd"`
	Ranges          rangesSummary    `json:"ranges"`
}

// rungSummary is a rung in JSON; the price of an acre more is null on the first.
type rungSummary struct {
	Acres           amount           `json:"acres"`
	ExtraPerAcreUSD *amount          `json:"price_of_each_extra_acre_usd"`
	Left            []leftSummary    `json:"left"`
	Waits           []waitingSummary `json:"waits_for_dry_ground,omitempty"`
	Crew            []broughtSummary `json:"crew"`
	ProductiveHours amount           `json:"productive_hours"`
	ScheduledHours  amount           `json:"scheduled_hours"`
	WorkingDays     amount           `json:"working_days"`
	CalendarDays    amount           `json:"calendar_days"`
	CostUSD         amount           `json:"cost_usd"`
	PriceUSD        amount           `json:"price_usd"`
	Ranges          rangesSummary    `json:"ranges"`
}

// leftSummary is ground that a rung leaves, in JSON.
type leftSummary struct {
	Why   string `json:"why"`
	Acres amount `json:"acres"`
}

// waitingSummary is ground that waits for dry weather, in JSON.
type waitingSummary struct {
	Machine string `json:"machine"`
	Acres   amount `json:"acres"`
}

// rangesSummary holds percentiles in JSON.
type rangesSummary struct {
	Productive spreadSummary `json:"productive_hours"`
	Scheduled  spreadSummary `json:"scheduled_hours"`
	Days       spreadSummary `json:"working_days"`
	Cost       spreadSummary `json:"cost_usd"`
	Price      spreadSummary `json:"price_usd"`
}

// spreadSummary is a spread in JSON.
type spreadSummary struct {
	P10 amount `json:"p10"`
	P50 amount `json:"p50"`
	P90 amount `json:"p90"`
}

// broughtSummary is a kind of machine in a crew in JSON.
type broughtSummary struct {
	Machine         string `json:"machine"`
	Count           int    `json:"count"`
	NetAcres        amount `json:"net_acres"`
	ProductiveHours amount `json:"productive_hours"`
	ScheduledHours  amount `json:"scheduled_hours"`
	MovingHours     amount `json:"moving_hours"`
	CostUSD         amount `json:"work_usd"`
	MovesUSD        amount `json:"moves_usd"`
	ExtraPerAcreUSD amount `json:"price_of_an_extra_acre_usd"`
}

// taskSummary is a task in JSON.
type taskSummary struct {
	Piece    int    `json:"piece"`
	Lot      string `json:"lot,omitempty"`
	Zone     string `json:"zone"`
	By       string `json:"by"`
	NetAcres amount `json:"net_acres"`
	Hours    amount `json:"scheduled_hours"`
	CostUSD  amount `json:"cost_usd"`
}

// byCoverSummary is hours for a class of cover in JSON.
type byCoverSummary struct {
	Cover           string   `json:"cover"`
	Crew            []string `json:"crew"`
	LeftAcres       amount   `json:"left_standing_acres"`
	ProductiveHours amount   `json:"productive_hours"`
	ScheduledHours  amount   `json:"scheduled_hours"`
	WorkingDays     amount   `json:"working_days"`
}

// breakEvenSummary is a break-even in JSON; acres is null where it never pays.
type breakEvenSummary struct {
	Machine   string  `json:"machine"`
	Acres     *amount `json:"pays_from_acres"`
	OnlyAcres amount  `json:"acres_only_it_works"`
	Against   string  `json:"against"`
}

// excludedSummary is excluded ground in JSON.
type excludedSummary struct {
	Zone  string `json:"zone,omitempty"`
	Acres amount `json:"acres"`
	Why   string `json:"why"`
}

// amount is a number with at most 6 decimals.
type amount float64

func round(v float64) amount { return amount(math.Round(v*1e6) / 1e6) }

// MarshalJSON writes the plan as its [Summary].
func (p *Plan) MarshalJSON() ([]byte, error) { return json.Marshal(p.Summary()) }

// Summary is the plan for a JSON file.
func (p *Plan) Summary() Summary {
	s := Summary{Estimate: "an estimate from the figures given, not a quote", NetAcres: round(p.NetAcres), GrossAcres: round(p.GrossAcres),
		VerifyAcres: round(p.VerifyAcres), Ladder: []rungSummary{}, Why: p.Why, Options: []optionSummary{}, RuledOut: p.RuledOut, Permits: permitWords(p.Permits),
		ApartFt: round(p.ApartFt), Assumed: append([]string{}, p.Assumptions...), Bases: p.Bases, Notes: append([]string{}, p.Notes...), Cautions: append([]Caution{}, p.Cautions...)}
	for _, r := range p.Ladder {
		s.Ladder = append(s.Ladder, r.rungSummary())
	}
	if len(p.Ladder) > 0 {
		s.Rung = &p.Recommended
	}
	for _, o := range p.Options {
		s.Options = append(s.Options, o.summary())
	}
	if len(p.Options) > 0 {
		s.Recommended = string(p.Options[0].Goal)
	}
	for _, c := range p.ByCover {
		by := byCoverSummary{c.Cover.String(), []string{}, round(c.LeftAcres), round(c.ProductiveH), round(c.ScheduledH), round(c.WorkingDays)}
		for _, b := range c.Crew {
			by.Crew = append(by.Crew, b.Key)
		}
		s.ByCover = append(s.ByCover, by)
	}
	for _, b := range p.BreakEven {
		one := breakEvenSummary{Machine: b.Key, OnlyAcres: round(b.OnlyAcres), Against: b.Against}
		if b.Ever {
			acres := round(b.Acres)
			one.Acres = &acres
		}
		s.BreakEven = append(s.BreakEven, one)
	}
	for _, e := range p.Excluded {
		s.Excluded = append(s.Excluded, excludedSummary{e.Zone, round(e.Acres), e.Why})
	}
	return s
}

func (o Option) summary() optionSummary {
	s := optionSummary{Goal: string(o.Goal), Also: o.Also, Crew: []broughtSummary{}, Tasks: []taskSummary{}, LeftAcres: round(o.LeftAcres),
		LeftByHandUSD: round(o.LeftByHandUSD), HandAcres: round(o.HandAcres), ProductiveHours: round(o.ProductiveH),
		ScheduledHours: round(o.ScheduledH), MovingHours: round(o.MovingH), WorkingDays: round(o.WorkingDays),
		CalendarDays: round(o.CalendarDays), CostUSD: round(o.CostUSD), PriceUSD: round(o.PriceUSD),
		Ranges: rangesSummary{o.Productive.summary(), o.Scheduled.summary(), o.Days.summary(), o.Cost.summary(), o.Price.summary()}}
	for _, b := range o.Crew {
		s.Crew = append(s.Crew, broughtSummary{b.Key, b.Count, round(b.NetAcres), round(b.ProductiveH), round(b.ScheduledH),
			round(b.MovingH), round(b.CostUSD), round(b.MovesUSD), round(b.ExtraPerAcreUSD)})
	}
	for _, t := range o.Tasks {
		s.Tasks = append(s.Tasks, taskSummary{t.Piece, t.Lot, t.Zone, t.By, round(t.NetAcres), round(t.ScheduledH), round(t.CostUSD)})
	}
	return s
}

func (r Rung) rungSummary() rungSummary {
	o := r.Option.summary()
	s := rungSummary{Acres: round(r.Acres), Left: []leftSummary{}, Crew: o.Crew, ProductiveHours: o.ProductiveHours, ScheduledHours: o.ScheduledHours,
		WorkingDays: o.WorkingDays, CalendarDays: o.CalendarDays, CostUSD: o.CostUSD, PriceUSD: o.PriceUSD, Ranges: o.Ranges}
	if !math.IsNaN(r.ExtraPerAcreUSD) {
		extra := round(r.ExtraPerAcreUSD)
		s.ExtraPerAcreUSD = &extra
	}
	for _, l := range r.Left {
		s.Left = append(s.Left, leftSummary{l.Why, round(l.Acres)})
	}
	for _, w := range r.Waits {
		s.Waits = append(s.Waits, waitingSummary{w.Key, round(w.Acres)})
	}
	return s
}

func (s Spread) summary() spreadSummary {
	return spreadSummary{round(s.P10), round(s.P50), round(s.P90)}
}

// permitWords are the words of permits.
func permitWords(all []Permit) (words []string) {
	for _, p := range all {
		words = append(words, p.Words)
	}
	return words
}
