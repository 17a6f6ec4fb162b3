package plan

import "github.com/acreband/acreband/zoning"

// whenDry is the kind of a crew that works a lump once it is dry; -1 for none.
func (b *bidder) whenDry(k crew, l *lump) int {
	for i, n := range k {
		if n > 0 && b.mayWhenDry(i, l) {
			return i
		}
	}
	return -1
}

func (b *bidder) mayWhenDry(kind int, l *lump) bool {
	for _, i := range l.pieces {
		piece := b.site.Pieces[i]
		piece.May |= piece.MayDry
		if _, ok := b.v.load(kind, b.kinds[kind], piece, 0); !ok {
			return false
		}
	}
	return true
}

// onlyWaits is the acres that one assignment clears and another leaves until they are dry.
func (b *bidder) onlyWaits(below, on *assignment) (acres float64) {
	for i := range b.lumps {
		if below.by[i] < 0 && on.by[i] >= 0 && b.whenDry(below.crew, &b.lumps[i]) >= 0 {
			acres += on.share[i] * b.lumps[i].acres
		}
	}
	return acres
}

// why says why an assignment leaves a lump, or what of it is left.
func (b *bidder) why(a *assignment, i int) string {
	l := &b.lumps[i]
	switch {
	case a.ended[i] != "":
		return a.ended[i]
	case b.whenDry(a.crew, l) >= 0:
		return zoning.WaitsDryKey
	case b.somebodyMay(l):
		return zoning.NeedsMachineKey
	}
	return zoning.NoMachineKey
}

// somebodyMay reports whether a machine of the fleet may work a lump now: one that is here
// to choose from and works its cover, or one that cannot come.
func (b *bidder) somebodyMay(l *lump) bool {
	for _, i := range l.pieces {
		piece, asked := b.site.Pieces[i], zoning.Mask(0)
		for k, kind := range b.kinds {
			asked |= 1 << kind.fleet
			if _, ok := b.v.load(k, kind, piece, 0); ok {
				return true
			}
		}
		if piece.May&^asked != 0 {
			return true
		}
	}
	return false
}
