package plan

import "github.com/acreband/acreband/zoning"

// Worker says who works the ground of one key in the chosen rung.
type Worker struct {
	Machine int     // index in the fleet; -1 nobody, or a hand crew
	Why     string  // why no machine works it: a key of [Left], or HandKey; "" where one does
	Share   float64 // of the ground what is cleared: less than 1 where days or budget end it
}

// partly reports whether a machine clears a part of the ground, and nobody the rest.
func (w Worker) partly() bool { return w.Machine >= 0 && w.Share < 1 }

// worker is who works the ground of a key, on the recommended rung; false where no plan has
// such ground, as where no crew is chosen.
func (p *Plan) worker(k pieceKey) (Worker, bool) {
	w, ok := p.workers[k]
	return w, ok
}

// key is what the ground of a cell has in common with the other ground of its piece, where
// its band and mask are given. Lots are not in it: one machine works all ground of a key.
func (c *pieceCounter) key(i, band int, mask zoning.Mask) pieceKey {
	key := pieceKey{band: band}
	fleet := c.m.Fleet
	switch {
	case band == fleet.UnknownBand() || band == fleet.NoGoBand():
		key.may = mask
		return key
	case fleet.IsMachine(band):
		key.may = mask &^ (1<<band - 1)
	}
	key.cover, key.typicalM, key.thickestM = c.growth(i)
	if c.m.Ground == zoning.Wet && c.m.Cells.Otherwise != nil {
		if dry := c.m.Cells.Otherwise[i]; dry&(zoning.Unknown|zoning.NoGo) == 0 {
			key.dry = dry &^ key.may
		}
	}
	return key
}

// workers are who works the ground of each key of a map with an assignment; nil without a
// map.
func (b *bidder) workers(a *assignment) map[pieceKey]Worker {
	if b.site.keys == nil {
		return nil
	}
	out := map[pieceKey]Worker{}
	for i := range b.lumps {
		w := Worker{Machine: -1}
		switch n := a.by[i]; {
		case n < 0:
			w.Why = b.why(a, i)
		case b.lumps[i].ways[n].by == byHand:
			w.Why = HandKey
		default:
			w.Machine, w.Share = b.kinds[b.lumps[i].ways[n].by].fleet, a.share[i]
		}
		for _, piece := range b.lumps[i].pieces {
			out[b.site.keys[piece]] = w
		}
	}
	return out
}
