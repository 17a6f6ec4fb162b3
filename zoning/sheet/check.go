package sheet

import (
	"errors"
	"fmt"
	"iter"

	"github.com/acreband/acreband/zoning"
)

// checkLots is [zoning.ZoneMap.Check] of a map that must hold a lot.
func checkLots(zm *zoning.ZoneMap) error {
	if zm == nil || len(zm.Lots) == 0 {
		return errNoLot
	}
	return zm.Check()
}

// checkParts returns what of a page beside its map and its grid cannot be drawn.
func (p *Page) checkParts() error {
	for _, f := range p.Features {
		if f.Geometry == nil {
			return fmt.Errorf("feature %s has no geometry", f.Title())
		}
	}
	return nil
}

func (p *Painter) check() error {
	if p == nil {
		return errors.New("there is no painter of the ground; make one with NewPainter")
	}
	return p.grid.Check()
}

// mostDots is the longest side of a picture, and mostPicture how many dots it has at most.
const (
	mostDots    = 1 << 15
	mostPicture = 1 << 28
)

func checkDots(width, height int) error {
	if width < 1 || height < 1 || width > mostDots || height > mostDots || width > mostPicture/height {
		return fmt.Errorf("a picture of %d × %d dots; ask for 1 to %d along each side and %d in all", width, height, mostDots, mostPicture)
	}
	return nil
}

// mostScale bounds the figures of a view: more than the earth measures.
const mostScale = 1e9

func (v View) check() error {
	if err := checkDots(v.Width, v.Height); err != nil {
		return err
	}
	for _, f := range []struct {
		name  string
		v     float64
		above float64
	}{
		{"MetresPerDot", v.MetresPerDot, 0}, {"LonM", v.LonM, 0}, {"LatM", v.LatM, 0},
		{"Lon", v.Lon, -mostScale}, {"Lat", v.Lat, -mostScale}, {"XM", v.XM, -mostScale}, {"YM", v.YM, -mostScale},
	} {
		if !(f.v > f.above && f.v <= mostScale) {
			return fmt.Errorf("a view whose %s is %g shows no ground", f.name, f.v)
		}
	}
	return nil
}

// check returns why the sheet of a run cannot be written.
func (o *Overview) check(r Run, lots iter.Seq2[OverviewLot, error]) error {
	if lots == nil {
		return errors.New("there are no lots to be drawn; give those that were added, in their order")
	}
	if err := r.Sum.Check(); err != nil {
		return fmt.Errorf("the sum of the lots: %w", err)
	}
	if len(r.Sum.Fleet) != len(o.fleet) {
		return fmt.Errorf("the lots were summed for a fleet of %d machines, and the sheet is for %d", len(r.Sum.Fleet), len(o.fleet))
	}
	if r.Paper != "" {
		if _, err := paperOf(string(r.Paper)); err != nil {
			return err
		}
	}
	return nil
}

// checkLot returns why a lot is none of a sheet of the overview's fleet.
func (o *Overview) checkLot(lot OverviewLot) error {
	return (&zoning.ZoneMap{Fleet: o.fleet, Lots: []zoning.LotMap{lot.LotMap}}).Check()
}
