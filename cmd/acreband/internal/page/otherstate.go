package page

import (
	"context"

	"github.com/acreband/acreband/zoning"
)

// otherState is the word of a view that shows a map in the other state of the ground.
const otherState = "other"

// inOtherState is the latest map of a ground with its map in the other state of the ground,
// which is made when it is first asked for and kept with it.
func (s *Server) inOtherState(ctx context.Context, g *ground) (*Result, *zoning.ZoneMap, error) {
	g.changing.Lock()
	defer g.changing.Unlock()
	r := g.latest()
	if r.other != nil {
		return r, r.other, nil
	}
	at, err := s.atWork.take(ctx, int64(cells(r.Ground)))
	if err != nil {
		return nil, nil, err
	}
	defer at.end()
	held := r.fleet
	if r.Map.Ground != zoning.Wet {
		held = held.On(zoning.Wet)
	}
	g.reading.RLock()
	other, err := r.Map.InOtherState(ctx, held)
	g.reading.RUnlock()
	if err != nil {
		return nil, nil, asRefusal(err)
	}
	g.reading.Lock() // nobody weighs it meanwhile
	r.other = other
	g.reading.Unlock()
	if err := s.shelf.grow(g, g.weigh(r)); err != nil {
		g.reading.Lock()
		r.other = nil
		g.reading.Unlock()
		return nil, nil, err
	}
	return r, other, nil
}
