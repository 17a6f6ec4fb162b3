package page

import (
	"context"
	"net/http"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/text"
)

// curve is what a machine could work if one of its limits were another.
type curve struct {
	Machine string       `json:"machine"`
	Limit   string       `json:"limit"`
	NowPct  float64      `json:"nowPct"`  // as the map has it
	FilePct float64      `json:"filePct"` // as the fleet file has it
	Points  []curvePoint `json:"points"`
}

// curvePoint is a limit and the acres within it that the machine could work alone.
type curvePoint struct {
	Pct   float64 `json:"pct"`
	Area  string  `json:"area"` // with its unit
	Acres float64 `json:"acres"`
	Sure  float64 `json:"sure"` // of them surely within it; the rest is to walk or to sight first
	Words string  `json:"words"`
}

// curvePoints is how many limits a curve is made of beside the one of the map.
const curvePoints = 10

// curve answers with the acres of a machine against one of its limits.
func (s *Server) curve(w http.ResponseWriter, r *http.Request) {
	ofKept(s, w, r, func(ctx context.Context, g *ground) (*curve, error) {
		q := r.URL.Query()
		return s.curveOf(ctx, g.latest(), q.Get("machine"), q.Get("limit"))
	})
}

func (s *Server) curveOf(ctx context.Context, r *Result, key, limit string) (*curve, error) {
	at, which := indexOf(r.fleet, key), limitNamed(limit)
	if at < 0 || which < 0 {
		return nil, refuse(http.StatusBadRequest, "there is no %s of a machine %q", limit, key)
	}
	of := limits[which].Key
	now, _ := r.fleet[at].Limit(of)
	file, _ := s.config.Fleet[at].Limit(of)
	if now == 0 {
		return nil, refuse(http.StatusBadRequest, "%s has no limit %s", r.fleet[at].Name, limits[which].ForOneMap)
	}
	c := &curve{Machine: key, Limit: limit, NowPct: now, FilePct: file}
	for _, pct := range curvePcts(now, file) {
		m, err := r.fleet[at].With(of, pct)
		if err != nil {
			continue // the machine is rated to less, or another limit of it would be passed
		}
		p, err := pointOf(ctx, r, m)
		if err != nil {
			return nil, asRefusal(err)
		}
		p.Pct = pct
		c.Points = append(c.Points, p)
	}
	return c, nil
}

// curvePcts are the limits of a curve, from a tenth of twice the larger one to all of it,
// with the limit of the map among them.
func curvePcts(now, file float64) []float64 {
	var all []float64
	step := 2 * max(now, file) / curvePoints
	for i := 1; i <= curvePoints; i++ {
		pct := step * float64(i)
		if pct-step < now && now < pct {
			all = append(all, now)
		}
		all = append(all, pct)
	}
	return all
}

// pointOf maps the ground of a result for one machine alone.
func pointOf(ctx context.Context, r *Result, m zoning.Machine) (p curvePoint, err error) {
	alone := zoning.Fleet{m}
	o := r.options
	o.Progress, o.Loads = func(string, int, int) {}, r.book.Loads(alone)
	zm, err := mapping.Map(ctx, r.Ground, alone, o)
	if err != nil {
		return p, err
	}
	t := tallyOf(zm)
	b := t.bands[0]
	p.Acres, p.Sure = b.acres, b.acres
	p.Area = t.text(b.acres) + " " + t.units.ShortArea()
	p.Words = t.areaText(b.acres)
	if zm.Error.SigmaM > 0 {
		p.Sure = b.sure
		p.Words += ", " + t.text(b.acres-b.sure) + " of them to walk or sight first"
	}
	p.Words = text.OneLine(m.Name) + ": " + p.Words
	return p, nil
}
