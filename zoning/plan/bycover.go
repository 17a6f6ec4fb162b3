package plan

// ByCover is the recommended crew if all ground whose cover is not given had one class.
type ByCover struct {
	Cover                   Cover
	Crew                    []Brought // without money
	LeftAcres, HandAcres    float64
	ProductiveH, ScheduledH float64
	WorkingDays             float64
}

// coverMissing reports whether the cover of ground to be worked is not given.
func (p *planner) coverMissing() bool {
	for _, piece := range p.site.Pieces {
		if !piece.closed() && piece.May != 0 && piece.NetAcres > 0 && piece.Cover == CoverNotGiven {
			return true
		}
	}
	return false
}

// planByCover plans for each class of cover.
func (p *planner) planByCover(plan *Plan) error {
	for _, cover := range Classes() {
		site := *p.site
		site.Pieces = append([]Piece(nil), p.site.Pieces...)
		for i := range site.Pieces {
			if site.Pieces[i].Cover == CoverNotGiven {
				site.Pieces[i].Cover = cover
			}
		}
		q := *p
		q.site = &site
		b := q.bidder()
		ladder, at, err := b.choose()
		if err != nil {
			return err
		}
		a := b.start(make(crew, len(b.kinds)))
		if at >= 0 {
			a = ladder[at].assignment
		}
		o := b.option(Cheapest, a, nil)
		by := ByCover{Cover: cover, Crew: o.Crew, LeftAcres: o.LeftAcres, HandAcres: o.HandAcres,
			ProductiveH: o.ProductiveH, ScheduledH: o.ScheduledH, WorkingDays: o.WorkingDays}
		for i := range by.Crew {
			b := &by.Crew[i]
			b.CostUSD, b.MovesUSD, b.ExtraPerAcreUSD = 0, 0, 0
		}
		plan.ByCover = append(plan.ByCover, by)
	}
	plan.Notes = append(plan.Notes, "Cover is not given for all ground: hours for each class, and no price. Give it, in cover polygons of the site or for all ground, to get one.")
	return nil
}
