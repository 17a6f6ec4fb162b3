package page

import (
	"net/http"
	"slices"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
)

// answer is a map as the page shows it. All words and figures are made here, so that
// the page only sets them.
type answer struct {
	ID       string          `json:"id"`
	Revision int             `json:"revision"`
	Name     string          `json:"name"`  // of the lot, or how many
	Says     string          `json:"says"`  // the map in one sentence
	View     string          `json:"view"`  // plan or limits
	Drawn    string          `json:"drawn"` // that view in words, for titles
	Units    string          `json:"units"` // us or metric: what all of it is told in
	Put      []string        `json:"put"`   // of each place that was put on the page, how far it keeps machines off; "" says nothing
	Crew     *crewOf         `json:"crew,omitempty"`
	Terms    *termsOf        `json:"terms,omitempty"`
	Unloads  []unloadOf      `json:"unloads"` // proposed
	Stops    []string        `json:"stops"`   // what makes the answer void
	Plane    plane           `json:"plane"`
	Ground   zoning.Moisture `json:"ground"`
	Other    bool            `json:"other"` // whether it is known in the other state of the ground
	Cautious bool            `json:"cautious"`
	Zones    []zone          `json:"zones"`
	Labels   []label         `json:"labels"`
	Lots     []lotOf         `json:"lots"` // where there are several
	Limits   []limitOf       `json:"limits"`
	Bring    []string        `json:"bring"`
	Check    []check         `json:"check"`
	More     int             `json:"moreToCheck"` // that are in the files
	Plan     *plan.Summary   `json:"plan,omitempty"`
	Estimate *estimate       `json:"estimate,omitempty"` // that plan in words
	Costs    []costOf        `json:"costs,omitempty"`
	Cover    string          `json:"cover"` // what grows where nobody says
	Facts    []string        `json:"facts"`
	Assumed  []string        `json:"assumed"`
	Warnings []string        `json:"warnings"`
	Cautions []string        `json:"cautions"`
	Files    []fileOf        `json:"files"`
}

// plane is where a map lies: metres east and north of a spot.
type plane struct {
	Lon    float64 `json:"lon"`
	Lat    float64 `json:"lat"`
	LonM   float64 `json:"lonM"`
	LatM   float64 `json:"latM"`
	EastM  float64 `json:"eastM"`  // how far it reaches
	NorthM float64 `json:"northM"` // from the spot
}

func planeFor(p sheet.Plane, east, north float64) plane {
	return plane{p.Lon, p.Lat, p.LonM, p.LatM, east, north}
}

// zone is a row of the table: a band over all lots.
type zone struct {
	Band    string   `json:"band"`
	Name    string   `json:"name"`
	Machine bool     `json:"machine"`
	Ground  bool     `json:"ground"` // whether any goes to it
	Acres   string   `json:"acres"`
	Share   string   `json:"share"`
	Slopes  string   `json:"slopes"`
	Limit   string   `json:"limit"` // of a machine, up and down
	Notes   []string `json:"notes"`
}

// label is what stands on the map in a piece of a machine's ground.
type label struct {
	At    [2]float64 `json:"at"`
	Words string     `json:"words"`
	SideM float64    `json:"sideM"` // of a square as large as the piece
}

// limitOf is a limit that may be changed.
type limitOf struct {
	Machine string          `json:"machine"`
	Name    string          `json:"name"`
	Limit   string          `json:"limit"`
	Words   string          `json:"words"`
	On      zoning.Moisture `json:"on"` // ground
	Value   string          `json:"value"`
	File    string          `json:"file"` // what the fleet file says
}

// costOf is a figure of the plan that may be changed.
type costOf struct {
	Machine string `json:"machine"`
	Name    string `json:"name"`
	Figure  string `json:"figure"`
	Words   string `json:"words"`
	Value   string `json:"value"`
	File    string `json:"file"` // as the server was started
}

// fileOf is a file to take away.
type fileOf struct {
	Name  string `json:"name"`
	Words string `json:"words"`
}

// start is what the page needs before there is a map.
type start struct {
	Plane   plane  `json:"plane"`
	Formats string `json:"formats"`
	Fleet   []zone `json:"fleet"`

	Units []unitsOf `json:"units"`  // that people may be told in
	Told  string    `json:"toldIn"` // the key of those that the server was started with
}

func (s *Server) start(w http.ResponseWriter, r *http.Request) {
	a := start{Plane: planeFor(s.backdrop.plane, s.backdrop.east, s.backdrop.north), Formats: formatsTaken, Units: bothUnits(), Told: s.config.Judge.Units.String()}
	for _, b := range s.config.Fleet.Bands() {
		z := zone{Band: b.Key, Name: b.Name, Machine: b.Machine >= 0}
		if z.Machine {
			z.Limit = text.LimitPct(s.config.Fleet[b.Machine].SteepestPct())
		}
		a.Fleet = append(a.Fleet, z)
	}
	s.reply(w, r, a)
}

// answer puts the latest map of a ground into words.
func (s *Server) answer(g *ground) (*answer, error) {
	r := g.latest()
	zm := r.Map
	t := tallyOf(zm)
	_, east, north, _ := sheet.PlaneOf(r.Ground.Elevation.Grid.Frame, zm)
	a := &answer{
		ID: g.id, Revision: r.revision, Name: sheet.Name(zm), Says: t.says(zm), Plane: planeFor(r.plane, east, north),
		Ground: zm.Ground, Other: zm.Cells.Otherwise != nil, Cautious: zm.Error.Cautious, Zones: t.zones(zm), Labels: t.labels(zm), Limits: orNone(s.limitsOf(r.fleet)), Bring: orNone(tallyOf(zm.ByLimits()).bring(zm)),
		View: zm.View.String(), Drawn: zm.View.Words(), Units: zm.Units.String(), Put: t.put(r.put), Crew: t.crew(r.Plan), Unloads: t.unloads(zm), Stops: s.hidden.all(orNone(zm.Stops())),
		Facts: s.hidden.all(factsOf(zm)), Assumed: s.hidden.all(zm.Assumed), Warnings: s.hidden.all(append(slices.Clip(zm.Warnings), notesOf(zm)...)),
		Cautions: orNone(zm.Cautions), Files: []fileOf{},
	}
	a.Lots = t.lots(r, a.Zones)
	a.Check, a.More = t.checks(zm, r.Plan)
	a.Check = orNone(a.Check)
	if r.Plan != nil {
		sum := r.Plan.Summary()
		a.Plan, a.Costs, a.Cover = &sum, costsOf(r.book, s.config.Book, s.config.Fleet, zm.Units), r.cover.String()
		a.Estimate = t.estimate(r.Plan)
		a.Terms = termsOfJob(&r.book.Job, &s.config.Book.Job, s.config.Fleet, zm.Units)
		a.Says = t.answers(r.Plan, a.Says)
	}
	for _, o := range s.config.Outputs {
		if o.of(r) {
			a.Files = append(a.Files, fileOf{o.Name, o.Words})
		}
	}
	return a, nil
}

// factsOf are what the picture says of elevation, slope and boundary; what was
// assumed has a list of its own.
func factsOf(zm *zoning.ZoneMap) []string {
	return slices.DeleteFunc(sheet.Facts(zm), func(f string) bool { return strings.HasPrefix(f, "Assumed: ") })
}

// orNone makes a list of none of nil, for JSON tells them apart.
func orNone[T any](s []T) []T { return append([]T{}, s...) }
