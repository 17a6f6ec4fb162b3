package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/site"
)

// newMap answers a boundary with its map.
func (s *Server) newMap(w http.ResponseWriter, r *http.Request) {
	admitted, err := s.bodies.admit(r, s.config.Limits.UploadBytes+forHeaders)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer admitted()
	folder, err := s.folder()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer os.RemoveAll(folder)
	b, err := s.receive(w, r, folder)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.work(w, r, func(ctx context.Context, tell mapping.Progress) (*answer, error) {
		told, err := s.config.unitsNamed(b.units)
		if err != nil {
			return nil, err
		}
		lots, err := s.readBoundaries(ctx, folder, b.names, told)
		if err != nil {
			return nil, err
		}
		os.RemoveAll(folder)
		admitted()
		g := &ground{boundary: lots, quality: s.config.Boundary}
		if b.part == drawnPart {
			g.quality = zoning.Sketched
		}
		return s.mapLots(ctx, g, Setting{Files: b.uses, Units: b.units}, tell)
	})
}

// mapLots reads the elevation around lots, maps them and keeps the map.
func (s *Server) mapLots(ctx context.Context, g *ground, set Setting, tell mapping.Progress) (*answer, error) {
	asked, err := s.asked(ctx, set)
	if err != nil {
		return nil, err
	}
	defer asked.done()
	cells, err := s.atWork.begin(ctx)
	if err != nil {
		return nil, err
	}
	defer cells.end()
	r, err := s.judge(ctx, g, asked, tell, cells)
	if err != nil {
		return nil, err
	}
	if err := s.shelf.add(g, g.weigh(r)); err != nil {
		return nil, err
	}
	g.put(r)
	return s.answer(g)
}

// prepare reads the elevation for lots and what is drawn around them, and what files that were
// dropped know of the ground.
func (s *Server) prepare(ctx context.Context, g *ground, j asked, drawn []site.Feature, tell mapping.Progress) (*mapping.Ground, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	defer s.fetching.tell(tell)()
	if err := j.beside.check(g.lots); err != nil {
		return nil, err
	}
	q := read.Request{
		Elevation: s.config.Elevation, ElevationOptions: s.config.Raster,
		Parcel: g.name, Lots: g.in(j.options.Units), Boundary: g.quality, Features: j.beside.with(drawn), Progress: tell,
	}
	q.SiteOptions.Units = j.options.Units
	j.beside.into(&q)
	base, err := read.Prepare(ctx, q)
	if gone := ctx.Err(); gone != nil {
		return nil, gone
	}
	if err != nil {
		return nil, unusable(err)
	}
	return base, nil
}

// change answers a setting with the map of the same ground.
func (s *Server) change(w http.ResponseWriter, r *http.Request) {
	const most = 1 << 20
	admitted, err := s.bodies.admit(r, most)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer admitted()
	var set Setting
	from := json.NewDecoder(http.MaxBytesReader(w, r.Body, most))
	from.DisallowUnknownFields()
	if err := from.Decode(&set); err != nil {
		s.fail(w, r, badBody(err))
		return
	}
	s.work(w, r, func(ctx context.Context, tell mapping.Progress) (*answer, error) {
		g, done, err := s.shelf.use(r.PathValue("id"))
		if err != nil {
			return nil, err
		}
		defer done()
		g.changing.Lock()
		defer g.changing.Unlock()
		if err := s.judgeAnew(ctx, g, set, tell); err != nil {
			return nil, err
		}
		return s.answer(g)
	})
}

// judgeAnew maps a ground that is kept as a setting says.
func (s *Server) judgeAnew(ctx context.Context, g *ground, set Setting, tell mapping.Progress) error {
	asked, err := s.asked(ctx, set)
	if err != nil {
		return err
	}
	defer asked.done()
	cells, err := s.atWork.begin(ctx)
	if err != nil {
		return err
	}
	defer cells.end()
	r, err := s.judge(ctx, g, asked, tell, cells)
	if err != nil {
		return err
	}
	if err := s.shelf.grow(g, g.weigh(r)); err != nil {
		return err
	}
	g.put(r)
	return nil
}

// asked is what a setting asks for, read and checked.
type asked struct {
	judged
	book     *plan.Book
	cover    plan.Cover
	site     []byte
	features []site.Feature // in site
	beside   beside         // from files that were dropped
	done     func()         // lets go of them
}

// asked reads what a setting names; done must be called where there is no error.
func (s *Server) asked(ctx context.Context, set Setting) (a asked, err error) {
	if string(set.Site) != "null" {
		a.site = set.Site
	}
	if a.judged, err = s.config.judge(set); err != nil {
		return a, err
	}
	if a.book, err = s.config.book(set); err != nil {
		return a, err
	}
	if a.cover, err = s.config.cover(set.Cover); err != nil {
		return a, err
	}
	if a.book != nil {
		a.options.Loads, a.options.DrainageSetback = a.book.Loads(a.fleet), a.book.Job.Setback
	}
	if a.features, err = s.readSite(ctx, a.site, a.options.Units); err != nil {
		return a, err
	}
	a.beside, a.done, err = s.use(ctx, set.Files, a.options.Units)
	return a, err
}

// judge maps a ground as it is asked for.
func (s *Server) judge(ctx context.Context, g *ground, j asked, tell mapping.Progress, at *cellsAtWork) (*Result, error) {
	g.reading.RLock()
	defer g.reading.RUnlock()
	base := g.base
	if base == nil || j.beside.key != g.beside {
		var err error
		if base, err = s.prepare(ctx, g, j, nil, tell); err != nil {
			return nil, err
		}
	}
	on, err := s.drawnOn(ctx, g, base, j, tell)
	if err != nil {
		return nil, err
	}
	at.keep(cells(on))
	options := j.options
	j.options.Progress = tell
	zm, err := mapping.Map(ctx, on, j.fleet, j.options)
	if err != nil {
		return nil, asRefusal(err)
	}
	j.say(zm)
	zm.Assumed = append(j.beside.says(), zm.Assumed...)
	r := &Result{Ground: on, Map: zm, Site: j.site, base: base, beside: j.beside.key, put: j.features, fleet: j.fleet, options: options, book: j.book, cover: j.cover, painter: g.painter(on)}
	r.plane, _, _, _ = sheet.PlaneOf(on.Elevation.Grid.Frame, zm)
	if j.book != nil {
		if r.Plan, err = s.plan(on, zm, j.book, j.cover); err != nil {
			return nil, asRefusal(err)
		}
		zm.Plan = r.Plan
		if !j.byLimits && r.Plan.Recommended >= 0 && r.Plan.Recommended < len(r.Plan.Ladder) {
			if r.Map, err = plan.Planned(ctx, on, zm, r.Plan); err != nil {
				return nil, asRefusal(err)
			}
		}
	}
	if r.Map.Access.Proposed, err = plan.ProposeUnloads(ctx, on, r.Map, r.Plan); err != nil {
		return nil, err
	}
	return r, ctx.Err() // where nobody waits for it the map stays as it was
}

// drawnOn is a ground with what is drawn on it. Elevation is read again only where something
// is drawn beyond what was read for the lots.
func (s *Server) drawnOn(ctx context.Context, g *ground, base *mapping.Ground, j asked, tell mapping.Progress) (*mapping.Ground, error) {
	switch {
	case len(j.features) == 0:
		return base, nil
	case within(j.features, g.lots):
		return base.With(j.beside.with(j.features))
	}
	return s.prepare(ctx, g, j, j.features, tell)
}

// painter is that of the last map where the ground is the same.
func (g *ground) painter(on *mapping.Ground) *sheet.Painter {
	if last := g.latest(); last != nil && last.Ground.Elevation == on.Elevation {
		return last.painter
	}
	return sheet.NewPainter(on.Elevation.Grid)
}

// asRefusal tells input that cannot be used from what is broken.
func asRefusal(err error) error {
	for _, theirs := range []error{coverage.ErrCellSize, coverage.ErrNoGround, coverage.ErrTooLarge, coverage.ErrTooFine, mapping.ErrTooCoarse, mapping.ErrSite, raster.ErrTooLarge} {
		if errors.Is(err, theirs) {
			return unusable(err)
		}
	}
	if errors.As(err, new(*plan.Error)) {
		return unusable(fmt.Errorf("the plan: %w", err))
	}
	return err
}
