package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/jobplan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/vector"
)

// newMap answers a boundary with its map.
func (s *Server) newMap(w http.ResponseWriter, r *http.Request) {
	files, part, err := s.receive(w, r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.work(w, r, func(ctx context.Context, tell survey.Progress) (*ground, error) {
		return s.mapBoundary(ctx, files, part, tell)
	})
}

// mapBoundary reads a boundary and the elevation around it, and maps it.
func (s *Server) mapBoundary(ctx context.Context, files []upload, part string, tell survey.Progress) (*ground, error) {
	name, lots, err := s.readLots(files)
	if err != nil {
		return nil, err
	}
	g := &ground{name: name, lots: lots, quality: s.config.Boundary}
	if part == drawnPart {
		g.quality = vector.Sketched
	}
	if g.base, err = s.prepare(ctx, g, nil); err != nil {
		return nil, err
	}
	if err := s.judgeAnew(ctx, g, Setting{}, tell); err != nil {
		return nil, err
	}
	s.shelf.add(g)
	return g, nil
}

// prepare reads the elevation for lots and what is drawn around them.
func (s *Server) prepare(ctx context.Context, g *ground, features []site.Feature) (*survey.Ground, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	base, err := survey.PrepareContext(ctx, survey.Request{
		Elevation: s.config.Elevation, ElevationOptions: s.config.Raster,
		Parcel: g.name, Lots: g.lots, Boundary: g.quality, Features: features,
	})
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
	g, err := s.shelf.get(r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	const most = 1 << 20
	var set Setting
	from := json.NewDecoder(http.MaxBytesReader(w, r.Body, most))
	from.DisallowUnknownFields()
	if err := from.Decode(&set); err != nil {
		s.fail(w, r, badBody(err))
		return
	}
	s.work(w, r, func(ctx context.Context, tell survey.Progress) (*ground, error) {
		g.changing.Lock()
		defer g.changing.Unlock()
		return g, s.judgeAnew(ctx, g, set, tell)
	})
}

// judgeAnew maps a ground as a setting says. Elevation is read again only where
// something is drawn beyond what was read for the lots.
func (s *Server) judgeAnew(ctx context.Context, g *ground, set Setting, tell survey.Progress) error {
	j, err := s.config.judge(set)
	if err != nil {
		return err
	}
	book, err := s.config.book(set.Costs)
	if err != nil {
		return err
	}
	cover, err := s.config.cover(set.Cover)
	if err != nil {
		return err
	}
	on, err := s.drawnOn(ctx, g, set.Site)
	if err != nil {
		return err
	}
	j.options.Progress = tell
	zm, err := survey.MapContext(ctx, on, j.fleet, j.options)
	if err != nil {
		return asRefusal(err)
	}
	j.say(zm)
	r := &Result{Ground: on, Map: zm, Site: set.Site, fleet: j.fleet, book: book, cover: cover, painter: g.painter(on)}
	r.plane, _, _, _ = sheet.PlaneOf(on.Elevation.Grid.Frame, zm)
	if book != nil {
		if r.Plan, err = s.plan(on, zm, book, cover); err != nil {
			return asRefusal(err)
		}
		zm.Plan = r.Plan
	}
	if err := ctx.Err(); err != nil {
		return err // nobody waits for it: the map stays as it was
	}
	g.put(r)
	return nil
}

// drawnOn is a ground with what is drawn on it.
func (s *Server) drawnOn(ctx context.Context, g *ground, text []byte) (*survey.Ground, error) {
	features, err := s.readSite(text)
	if err != nil || len(features) == 0 {
		return g.base, err
	}
	if within(features, g.lots) {
		return g.base.With(features), nil
	}
	return s.prepare(ctx, g, features)
}

// painter is that of the last map where the ground is the same.
func (g *ground) painter(on *survey.Ground) *sheet.Painter {
	if last := g.latest(); last != nil && last.Ground.Elevation == on.Elevation {
		return last.painter
	}
	return sheet.NewPainter(on.Elevation.Grid)
}

// asRefusal tells input that cannot be used from what is broken.
func asRefusal(err error) error {
	for _, theirs := range []error{zoning.ErrCellSize, zoning.ErrNoGround, zoning.ErrTooLarge, survey.ErrTooCoarse, raster.ErrTooLarge} {
		if errors.Is(err, theirs) {
			return unusable(err)
		}
	}
	if errors.As(err, new(*jobplan.Error)) {
		return unusable(fmt.Errorf("the plan: %w", err))
	}
	return err
}
