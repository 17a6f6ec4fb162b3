package plan

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/acreband/acreband/zoning/text"
)

// lineWidth is how many characters a line of prose may take, and labelWidth those of
// the label before it.
const (
	lineWidth  = 80
	labelWidth = 11
)

// WriteText writes a plan for a terminal: what [WriteAnswer] and [WriteRemarks] do.
func WriteText(w io.Writer, p *Plan) error {
	if err := WriteAnswer(w, p); err != nil {
		return err
	}
	if _, err := io.WriteString(w, "\n"); err != nil {
		return err
	}
	return WriteRemarks(w, p)
}

// WriteAnswer writes what to bring in a sentence and why, the ladder, other crews that
// clear as much, what the recommended one gives each machine and what it leaves, in 80
// columns. Acres have one decimal.
func WriteAnswer(w io.Writer, p *Plan) error {
	if p == nil {
		return errNoPlan
	}
	var b strings.Builder
	prose(&b, "bring", p.sentence())
	if p.Why != "" {
		prose(&b, "why", p.Why)
	}
	writeLadder(&b, p)
	if len(p.Options) > 0 {
		writeOptions(&b, p.Options)
		writeCrew(&b, p.wording(), p.Options[0])
		writeTasks(&b, p.wording(), p.Options[0])
	}
	writeByCover(&b, p.wording(), p.ByCover)
	var findings strings.Builder
	writeFindings(&findings, p)
	if s := findings.String(); s != "" {
		b.WriteString("\n" + s)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

var errNoPlan = &Error{"there is no plan to write", "give one that Make or ForMap returned"}

// table writes an empty line and rows of cells in columns.
func table(b *strings.Builder, rows [][]string) {
	b.WriteString("\n")
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	for _, row := range rows {
		for i, cell := range row {
			row[i] = text.OneLine(cell)
		}
		fmt.Fprintln(t, strings.Join(row, "\t"))
	}
	t.Flush()
}

// writeOptions writes the crews beside the recommended one, where there are others.
func writeOptions(b *strings.Builder, options []Option) {
	if len(options) < 2 {
		return
	}
	rows := [][]string{{"of those that clear as much", "days (10 to 90%)", "price (10 to 90%)"}}
	for _, o := range options {
		rows = append(rows, []string{o.Goals(), rangeText(text.Days(o.WorkingDays), text.Days(o.Days.P10), text.Days(o.Days.P90)), o.priceText()})
	}
	table(b, rows)
	for _, o := range options[1:] {
		prose(b, "", o.Goals()+": "+crewText(o.Crew))
	}
}

// Goals names all goals that a crew serves.
func (o Option) Goals() string {
	names := []string{string(o.Goal)}
	for _, g := range o.Also {
		names = append(names, string(g))
	}
	return strings.Join(names, ", ")
}

func (o Option) priceText() string {
	return rangeText("$"+moneyText(o.PriceUSD), "$"+roundMoney(o.Price.P10), "$"+roundMoney(o.Price.P90))
}

func rangeText(likely, from, to string) string { return fmt.Sprintf("%s (%s to %s)", likely, from, to) }

func writeCrew(b *strings.Builder, w wording, o Option) {
	if len(o.Crew) == 0 {
		return
	}
	rows := [][]string{{"machine, hours", "no.", w.units.Areas(), "productive", "scheduled", "moving", "work", "moves"}}
	for _, m := range o.Crew {
		rows = append(rows, []string{m.Key, fmt.Sprint(m.Count), acresText(w, m.NetAcres), text.Grouped(m.ProductiveH, 1),
			text.Grouped(m.ScheduledH, 1), text.Grouped(m.MovingH, 1), "$" + moneyText(m.CostUSD), "$" + moneyText(m.MovesUSD)})
	}
	table(b, rows)
}

// writeTasks adds up tasks by zone and by who works them: a map may have hundreds of
// pieces.
func writeTasks(b *strings.Builder, w wording, o Option) {
	type line struct{ zone, by string }
	var order []line
	acres, hours, count := map[line]float64{}, map[line]float64{}, map[line]int{}
	for _, t := range o.Tasks {
		l := line{t.Zone, t.By}
		if count[l] == 0 {
			order = append(order, l)
		}
		acres[l] += t.NetAcres
		hours[l] += t.ScheduledH
		count[l]++
	}
	if len(order) == 0 {
		return
	}
	rows := [][]string{{"zone", "worked by", "pieces", w.units.Areas(), "scheduled"}}
	for _, l := range order {
		rows = append(rows, []string{l.zone, l.by, fmt.Sprint(count[l]), acresText(w, acres[l]), text.Grouped(hours[l], 1)})
	}
	table(b, rows)
}

func writeByCover(b *strings.Builder, w wording, by []ByCover) {
	if len(by) == 0 {
		return
	}
	rows := [][]string{{"if cover is", "bring", "left", "machine hours", "scheduled", "days"}}
	for _, c := range by {
		rows = append(rows, []string{c.Cover.String(), crewText(c.Crew), acresText(w, c.LeftAcres), text.Grouped(c.ProductiveH, 1),
			text.Grouped(c.ScheduledH, 1), text.Days(c.WorkingDays)})
	}
	table(b, rows)
}

// WriteRemarks writes what a reader of the answer must know: how it was counted, every
// figure that was assumed, and what to mind.
func WriteRemarks(w io.Writer, p *Plan) error {
	if p == nil {
		return errNoPlan
	}
	var b strings.Builder
	for _, s := range p.Notes {
		prose(&b, "note", s)
	}
	for _, s := range p.Bases {
		prose(&b, "basis", s)
	}
	for _, s := range p.Assumptions {
		prose(&b, "assumed", s)
	}
	for _, c := range p.Cautions {
		s := c.Text
		if c.Source != "" {
			s += " (" + c.Source + ")"
		}
		prose(&b, "caution", s)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// sentence is the answer in words.
func (p *Plan) sentence() string {
	const estimate = " An estimate, not a quote."
	if len(p.Options) == 0 {
		return fmt.Sprintf("it depends on the cover, which is not given for all of %s net %s: hours for each class, and no price.", acresText(p.wording(), p.NetAcres), p.Units.Areas()) + estimate
	}
	o := p.Options[0]
	if len(o.Crew) == 0 && o.HandAcres == 0 {
		return fmt.Sprintf("%s: all of %s net %s stay standing.", crewText(o.Crew), acresText(p.wording(), p.NetAcres), p.Units.Areas()) + estimate
	}
	return fmt.Sprintf("%s. %s of %s net %s in %s working days, for %s (the middle 80%% of cases).", crewText(o.Crew),
		acresText(p.wording(), p.NetAcres-o.LeftAcres), acresText(p.wording(), p.NetAcres), p.Units.Areas(), fromTo(text.Days(o.Days.P10), text.Days(o.Days.P90)),
		fromTo("$"+roundMoney(o.Price.P10), "$"+roundMoney(o.Price.P90))) + estimate
}

// fromTo writes a range, or its one value.
func fromTo(from, to string) string {
	if from == to {
		return from
	}
	return from + " to " + to
}

// writeFindings writes what follows from the choice.
func writeFindings(b *strings.Builder, p *Plan) {
	if len(p.Options) > 0 {
		o := p.Options[0]
		if o.LeftAcres > 0 {
			prose(b, "left", fmt.Sprintf("%s stay standing; a hand crew would ask about $%s", areaText(p.wording(), o.LeftAcres), moneyText(o.LeftByHandUSD)))
		}
		if o.HandAcres > 0 {
			prose(b, "by hand", fmt.Sprintf("%s, at $%s %s", areaText(p.wording(), o.HandAcres), perAreaText(p.Units, p.HandPerAcre), p.Units.AnArea()))
		}
		prose(b, "calendar", fmt.Sprintf("%s calendar days for %s working days, with days off and weather", text.Days(o.CalendarDays), text.Days(o.WorkingDays)))
	}
	for _, e := range p.BreakEven {
		if e.Ever {
			prose(b, "pays", fmt.Sprintf("%s, from %s %s up, against %s", e.Name, breakEvenText(p.Units.Area(e.Acres)), p.Units.Areas(), e.Against))
		} else {
			prose(b, "pays", fmt.Sprintf("%s: never on this ground, against %s", e.Name, e.Against))
		}
	}
	for _, r := range p.RuledOut {
		prose(b, "ruled out", r.Key+": "+r.Reason)
	}
	for _, e := range p.Excluded {
		prose(b, "excluded", strings.TrimSpace(areaText(p.wording(), e.Acres)+" "+e.Zone)+": "+e.Why)
	}
}

// breakEvenText has two decimals: break-evens are often below a tenth of an acre.
func breakEvenText(area float64) string {
	if area >= 10 {
		return text.Grouped(area, 0)
	}
	return text.Grouped(area, 2)
}

// prose writes a labelled line, folded at spaces, what follows set in.
func prose(b *strings.Builder, label, words string) {
	text.Fold(b, fmt.Sprintf("%-*s", labelWidth, label), words, lineWidth)
}
