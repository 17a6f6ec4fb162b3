package plan

// work is what one kind of machine is given of one cover in one area.
type work struct {
	kind   int
	cover  Cover
	area   int
	sure   float64 // net acres over their ease
	verify float64 // the same of ground to be verified
	walkH  float64
}

// add adds work to that of its kind, cover and area: hours are the same function of
// figures for all of it.
func (t *tally) add(w work) {
	for i := range t.works {
		if o := &t.works[i]; o.kind == w.kind && o.cover == w.cover && o.area == w.area {
			o.sure, o.verify, o.walkH = o.sure+w.sure, o.verify+w.verify, o.walkH+w.walkH
			return
		}
	}
	t.works = append(t.works, w)
}

// tally is what an assignment asks for, ready to be reckoned with any figures.
type tally struct {
	p          *planner
	crew       crew
	works      []work
	handAcres  float64
	leftAcres  float64
	spentMoveH float64 // of all machines
	longMoveH  float64 // of the machine with the longest
}

// totals are a tally at one set of figures.
type totals struct {
	productiveH, scheduledH, workH, spanH, calendarDays, costUSD float64
	byKind                                                       []kindTotals
}

type kindTotals struct{ productiveH, scheduledH, usd float64 }

// tallyOf reads an assignment.
func (b *bidder) tallyOf(a *assignment) *tally {
	t := &tally{p: b.planner, crew: a.crew}
	for i, n := range a.crew {
		if n > 0 {
			t.spentMoveH += float64(n) * b.kinds[i].moveH
			t.longMoveH = max(t.longMoveH, b.kinds[i].moveH)
		}
	}
	for i, l := range b.lumps {
		t.leftAcres += (1 - a.share[i]) * l.acres
		if a.share[i] == 0 {
			continue
		}
		by := l.ways[a.by[i]].by
		if by == byHand {
			t.handAcres += a.share[i] * l.acres
			continue
		}
		for _, n := range l.pieces {
			t.give(by, n, a.share[i])
		}
	}
	return t
}

// give adds a share of a piece to the work of a kind.
func (t *tally) give(by, i int, share float64) {
	p, piece := t.p, t.p.site.Pieces[i]
	w, _ := p.v.load(by, p.kinds[by], piece, p.walk[i])
	verify := 0.0
	if piece.NetAcres > 0 {
		verify = piece.VerifyAcres / piece.NetAcres
	}
	t.add(work{kind: by, cover: piece.Cover, area: p.areas.of[i],
		sure: share * w.acres * (1 - verify), verify: share * w.acres * verify, walkH: share * w.walkH})
}

// hours are those of one work at figures.
func (w work) hours(v values) (productiveH, scheduledH float64) {
	productiveH = (w.sure + w.verify*v.verify) * v.productiveH(w.kind, w.cover)
	return productiveH, productiveH/v.productive + w.walkH
}

// at reckons a tally. Work takes as long as the machine, or the area, that takes
// longest.
func (t *tally) at(v values) totals {
	out := totals{byKind: make([]kindTotals, len(t.crew))}
	areaH := make([]float64, len(t.p.areas.room))
	for _, w := range t.works {
		productive, scheduled := w.hours(v)
		k := &out.byKind[w.kind]
		k.productiveH += productive
		k.scheduledH += scheduled
		areaH[w.area] += scheduled
	}
	for a, h := range areaH {
		out.workH = max(out.workH, h/t.p.areas.room[a])
	}
	for i, n := range t.crew {
		if n == 0 {
			continue
		}
		k := &out.byKind[i]
		k.usd = v.usd(i, k.productiveH, k.scheduledH)
		out.workH = max(out.workH, k.scheduledH/float64(n))
		out.productiveH += k.productiveH
		out.scheduledH += k.scheduledH
		out.costUSD += k.usd + float64(n)*v.movesUSD(i)
	}
	out.costUSD += out.workH*v.truck + t.handAcres*v.hand
	out.spanH = out.workH + t.longMoveH
	out.calendarDays = t.p.job.calendarDays(halfDays(out.spanH, t.p.job.DayH), v.weather)
	return out
}
