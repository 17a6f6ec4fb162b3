package field

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/text"
)

// screenWidth is how many characters a line for a terminal may take, and mostID those of the
// name of a spot before it.
const (
	screenWidth = 80
	mostID      = 24
)

// WriteText writes a verdict for people, in lines of at most 80 characters. Its first line is how many spots are over
// their machine's limit.
func (v Verdict) WriteText(w io.Writer) error {
	if err := v.check(); err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString(v.first() + "\n")
	for _, s := range v.Over {
		text.Fold(&b, fmt.Sprintf("  %-6s ", text.Cut(text.OneLine(s.ID), mostID)), fmt.Sprintf("lot %s, %s: measured %.1f%%, limit %.4g%%, mapped %.1f%%: %.1f points over%s",
			s.Lot, s.Band, s.MeasuredPct, s.LimitPct, s.MappedPct, s.OverPct(), note(s.Note)), screenWidth)
	}
	if loose, limitless := v.loose(); limitless > 0 {
		fmt.Fprintf(&b, "spots of no machine that one may work by their reading: %d of %d\n", loose, limitless)
	}
	b.WriteString("\n")
	if v.MarginPct > 0 {
		text.Fold(&b, "margin     ", fmt.Sprintf("%.1f points off every limit would have kept each spot within its machine's limit. Map again with %s %.1f%%", v.MarginPct, setting.Name("margin"), v.MarginPct), screenWidth)
	} else {
		text.Fold(&b, "margin     ", "these readings ask for none", screenWidth)
	}
	text.Fold(&b, "bias       ", fmt.Sprintf("the ground is %s%s; spread %s points", bias(v.BiasPct), v.steeper(), figure("%.1f", v.SpreadPct)), screenWidth)
	if len(v.NotRead) > 0 {
		text.Fold(&b, "not read   ", strings.Join(v.NotRead, ", "), screenWidth)
	}
	b.WriteString("\nagreement of bands: rows as mapped, columns as measured\n\n")
	v.table(&b)
	a := v.Agreement
	fmt.Fprintf(&b, "\noverall    %.1f%% of %d\n", 100*a.Overall, a.N)
	fmt.Fprintf(&b, "kappa      %s, 95%% interval %s to %s\n", figure("%.2f", a.Kappa), figure("%.2f", a.Low), figure("%.2f", a.High))
	text.Fold(&b, "           ", "Cohen 1960; large-sample variance of Fleiss, Cohen and Everitt 1969, rough below some 50 readings", screenWidth)
	text.Fold(&b, "mind       ", "spots were picked where a band could tip: the map as a whole agrees better than this. Ground that nobody measured may be worse than the worst reading.", screenWidth)
	_, err := io.WriteString(w, b.String())
	return err
}

// check refuses a verdict whose bands do not go with its agreement: Judge makes one.
func (v Verdict) check() error {
	a, n := v.Agreement, len(v.Bands)
	if len(a.Counts) != n || len(a.User) != n || len(a.Producer) != n {
		return fmt.Errorf("a verdict of %d bands has an agreement of %d; Judge makes both", n, len(a.Counts))
	}
	for _, row := range a.Counts {
		if len(row) != n {
			return fmt.Errorf("a verdict of %d bands has a row of %d counts; Judge makes both", n, len(row))
		}
	}
	return nil
}

func (v Verdict) first() string {
	s := fmt.Sprintf("spots over their machine's limit: %d of %d", len(v.Over), v.Limited)
	if len(v.Over) > 0 {
		s += fmt.Sprintf(", worst by %.1f points", v.Over[0].OverPct())
	}
	return s
}

func note(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

func bias(points float64) string {
	switch {
	case math.IsNaN(points):
		return "not known"
	case math.Abs(points) < 0.05:
		return "as steep as mapped on average"
	case points > 0:
		return fmt.Sprintf("steeper than mapped by %.1f points on average", points)
	}
	return fmt.Sprintf("gentler than mapped by %.1f points on average", -points)
}

// steeper tells by how much the ground was steeper than mapped at worst.
func (v Verdict) steeper() string {
	if !(v.SteeperPct > 0) {
		return ""
	}
	return fmt.Sprintf(", up to %.1f points steeper", v.SteeperPct)
}

// figure writes a number, a dash where there is none.
func figure(format string, v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return fmt.Sprintf(format, v)
}

// table writes the counts with user's and producer's accuracy. Columns are called by the
// numbers of their bands where names have no room.
func (v Verdict) table(b *strings.Builder) {
	rows := v.rows(func(_ int, band string) (row, column string) { return band, band })
	if width(rows) > screenWidth {
		rows = v.rows(func(i int, band string) (row, column string) {
			return fmt.Sprintf("%d %s", i+1, band), fmt.Sprint(i + 1)
		})
	}
	text.ColumnsWithin(b, rows, 1, screenWidth)
}

// rows are the table's cells, with bands called as names says.
func (v Verdict) rows(names func(i int, band string) (row, column string)) [][]string {
	a := v.Agreement
	share := func(v float64) string {
		if math.IsNaN(v) {
			return "-"
		}
		return fmt.Sprintf("%.0f%%", 100*v)
	}
	head, last := []string{""}, []string{"producer's accuracy"}
	rows := [][]string{nil}
	for i, band := range v.Bands {
		name, column := names(i, band)
		row := []string{name}
		for _, n := range a.Counts[i] {
			row = append(row, fmt.Sprint(n))
		}
		head, last = append(head, column), append(last, share(a.Producer[i]))
		rows = append(rows, append(row, share(a.User[i])))
	}
	rows[0] = append(head, "user's accuracy")
	return append(rows, last)
}

// width is how many characters rows take in columns.
func width(rows [][]string) int {
	var b strings.Builder
	text.Columns(&b, rows, 1)
	widest := 0
	for line := range strings.Lines(b.String()) {
		widest = max(widest, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")))
	}
	return widest
}

type verdictJSON struct {
	Over          int           `json:"over_limit"`
	Limited       int           `json:"spots_of_machines"`
	WorstPct      *float64      `json:"worst_over_pct"`
	MarginPct     float64       `json:"margin_pct"`
	BiasPct       *float64      `json:"bias_pct"`
	SpreadPct     *float64      `json:"spread_pct"`
	SteeperPct    *float64      `json:"steeper_by_at_most_pct"`
	NotRead       []string      `json:"not_read"`
	Bands         []string      `json:"zones"`
	Counts        [][]int       `json:"counts_mapped_by_measured"`
	Overall       *float64      `json:"overall"`
	User          []*float64    `json:"user_accuracy"`
	Producer      []*float64    `json:"producer_accuracy"`
	Kappa         *float64      `json:"kappa"`
	KappaSE       *float64      `json:"kappa_standard_error"`
	KappaInterval [2]*float64   `json:"kappa_95_percent"`
	Variance      string        `json:"kappa_variance"`
	Spots         []readingJSON `json:"spots"`
}

type readingJSON struct {
	ID          string   `json:"id"`
	Lot         string   `json:"lot"`
	Band        string   `json:"zone"`
	Measured    string   `json:"zone_measured"`
	MappedPct   *float64 `json:"mapped_pct"`
	MeasuredPct *float64 `json:"measured_pct"`
	LimitPct    *float64 `json:"limit_pct"`
	OverLimit   bool     `json:"over_limit"`
	Readings    int      `json:"readings"`
	Note        string   `json:"note,omitempty"`
}

// known is a number to 9 decimals, nil where there is none.
func known(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = math.Round(v*1e9) / 1e9
	return &v
}

// WriteJSON writes a verdict for programs. Slopes are percent, differences points,
// accuracies shares of 1; what is not known is null.
func (v Verdict) WriteJSON(w io.Writer) error {
	if err := v.check(); err != nil {
		return err
	}
	a := v.Agreement
	out := verdictJSON{
		Over: len(v.Over), Limited: v.Limited, MarginPct: v.MarginPct, BiasPct: known(v.BiasPct), SpreadPct: known(v.SpreadPct), SteeperPct: known(v.SteeperPct),
		NotRead: append([]string{}, v.NotRead...), Bands: append([]string{}, v.Bands...), Counts: append([][]int{}, a.Counts...), User: []*float64{}, Producer: []*float64{}, Overall: known(a.Overall),
		Kappa: known(a.Kappa), KappaSE: known(a.KappaSE), KappaInterval: [2]*float64{known(a.Low), known(a.High)},
		Variance: "Fleiss, Cohen and Everitt 1969", Spots: []readingJSON{},
	}
	if len(v.Over) > 0 {
		out.WorstPct = known(v.Over[0].OverPct())
	}
	for i := range v.Bands {
		out.User, out.Producer = append(out.User, known(a.User[i])), append(out.Producer, known(a.Producer[i]))
	}
	for _, s := range v.Compared {
		r := readingJSON{ID: s.ID, Lot: s.Lot, Band: s.Band, Measured: s.bandAt(s.MeasuredPct, 0), MappedPct: known(s.MappedPct),
			MeasuredPct: known(s.MeasuredPct), OverLimit: s.over(), Readings: s.Readings, Note: s.Note}
		if s.LimitPct > 0 {
			r.LimitPct = known(s.LimitPct)
		}
		out.Spots = append(out.Spots, r)
	}
	text, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(text, '\n'))
	return err
}
