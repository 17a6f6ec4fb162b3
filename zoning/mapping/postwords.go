package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/trafficability"
)

// nearPostings tells of machines and loads within a tenth of what is posted.
func (m *mapping) nearPostings(out *zoning.ZoneMap) {
	tell := func(k int, what string, machine zoning.Machine, where string, f site.Feature) {
		p := postOf(f)
		if p.Bars(machine) {
			return
		}
		if f, near := nearest(out.Units, machine, p); near {
			out.WarnOf(1<<k, fmt.Sprintf("%s "+f.is+" with %s posted %s: %s it first", what, f.text(f.figure), f.text(f.posted), where, f.take))
		}
	}
	for _, p := range m.posts {
		for k, machine := range m.fleet {
			tell(k, machine.Name, machine, fmt.Sprintf("at %s (%s)", p.feature.Title(), p.feature.Kind), p.feature)
		}
	}
	for _, f := range m.Features {
		if f.Kind != site.Staging || m.o.Loads == nil {
			continue
		}
		for k, machine := range m.fleet {
			tell(k, "the load of the "+machine.Name, m.o.Loads[k].asMachine(), "on the road to "+f.Title(), f)
		}
	}
	if len(m.posts) > 0 && m.work.Staging != nil && out.Access.Lands == nil {
		out.Assumed = append(out.Assumed, "gates and bridges of the site hold machines that drive over them; what the truck passes on the road to a staging is not known: write weight, width and height there")
	}
}

// measures are a machine's figures beside what is posted for each.
func measures(u measure.Units, m zoning.Machine, p trafficability.Post) []posted {
	weight := func(kg float64) string { return text.Grouped(u.Pounds(kg), 0) + " " + u.ShortWeight() }
	return []posted{{"weight", "weighs %s", "weigh", m.WeightKg, p.WeightKg, weight}, {"width", "is %s wide", "measure", m.WidthM, p.WidthM, u.Size}, {"height", "is %s high", "measure", m.HeightM, p.HeightM, u.Size}}
}

type posted struct {
	name, is, take string // "weight", "weighs %s", "weigh"
	figure, posted float64
	text           func(float64) string
}

func (f posted) words() string {
	return fmt.Sprintf("it "+f.is+", and %s is posted", f.text(f.figure), f.text(f.posted))
}

// nearTenth is how near a posting is told of: within a tenth (planning value, no source).
const nearTenth = 0.9

// nearest is the first figure of a machine within a tenth of what is posted for it, and reports whether one is.
func nearest(u measure.Units, m zoning.Machine, p trafficability.Post) (posted, bool) {
	for _, f := range measures(u, m, p) {
		if f.posted > 0 && f.figure >= nearTenth*f.posted*(1-1e-9) {
			return f, true
		}
	}
	return posted{}, false
}

// overWords says what of a machine or load is over what is posted, or not known; "" if nothing.
func overWords(u measure.Units, m zoning.Machine, p trafficability.Post) string {
	for _, f := range measures(u, m, p) {
		switch {
		case f.posted == 0 || f.name == "width" && f.figure == 0: // which fits anywhere
		case f.figure == 0 || math.IsInf(f.figure, 0):
			return fmt.Sprintf("its %s is not given, and %s is posted", f.name, f.text(f.posted))
		case (trafficability.Post{WeightKg: f.posted}).Bars(zoning.Machine{WeightKg: f.figure}):
			return f.words()
		}
	}
	return ""
}

// postedAt says what of the gates and bridges on a cell a machine is over.
func (g *Ground) postedAt(u measure.Units, i int, m zoning.Machine) string {
	for _, p := range g.posts {
		if _, on := slices.BinarySearch(p.Cells, i); on && p.Bars(m) {
			return fmt.Sprintf("no: %s at %s", overWords(u, m, p.Post), called(p.feature))
		}
	}
	return "no: " + zoning.OverPosting.Among(nil).Words
}
