package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/profile"
	"github.com/acreband/acreband/zoning"
	groundside "github.com/acreband/acreband/zoning/section"
	"github.com/acreband/acreband/zoning/text"
)

// sideSection holds the worst danger from the side.
const sideSection = "side"

// Measures of the ground that is shown from the side, in meters: as much as a machine and its
// surroundings take, and more of coarse cells. Cells of sideCoarsestM show no machine's ground.
const (
	sideLongM     = 40.0
	sideCells     = 10.0
	sideFallM     = 7.0 // around the danger, over which its fall is taken
	sideFallCells = 1.5
	sideCoarsestM = 20.0
)

// dangerSide is the ground straight down the fall through a danger, and who is warned of it.
type dangerSide struct {
	*groundside.Section
	units   measure.Units // that it is told in
	number  int           // of the danger, as it is listed
	words   string        // what it is
	atM     float64
	machine int // that works nearest to it, by its index in the fleet; -1 for none
	standM  float64
}

// dangerSide is the first danger that has a place, from the side; nil where none has, its
// ground is level or not known, or cells are too coarse.
func (p *Page) dangerSide() *dangerSide {
	if p.Map.Cells == nil || p.Map.Field == nil {
		return nil
	}
	for i, d := range p.dangers {
		if d.at == nil {
			continue
		}
		c, r := p.Grid.Frame.Cell(d.at[0], d.at[1])
		w, h := p.Grid.Frame.MetricAt(c, r).CellM()
		cellM := max(w, h)
		if cellM >= sideCoarsestM {
			return nil
		}
		upper, lower, ok := profile.FallLine(p.Grid, *d.at, max(sideLongM, sideCells*cellM), max(sideFallM, sideFallCells*cellM))
		if !ok {
			return nil
		}
		s, err := groundside.Of(p.Grid, p.Map, upper, lower)
		if err != nil {
			return nil
		}
		side := &dangerSide{Section: s, units: p.Map.Units, number: i + 1, words: d.words, atM: s.LengthM() / 2, machine: -1}
		side.stand(p.Map.Fleet)
		return side
	}
	return nil
}

// stand puts the machine whose ground lies nearest to the danger there, as near as it stands.
func (s *dangerSide) stand(fleet zoning.Fleet) {
	nearest := math.Inf(1)
	for i, zone := range s.Zones {
		if !fleet.IsMachine(zone) {
			continue
		}
		if away := math.Abs(s.DistancesM[i] - s.atM); away < nearest {
			if _, stands := s.Stand(s.DistancesM[i], groundside.LengthM(fleet[zone])); stands {
				nearest, s.machine, s.standM = away, zone, s.DistancesM[i]
			}
		}
	}
}

// tells is what the picture says, in lines.
func (s *dangerSide) tells(fleet zoning.Fleet) []string {
	low, high, known := s.rangeM()
	lines := []string{fmt.Sprintf("%s of ground straight down the fall through it, true to scale.", feetText(s.units, s.LengthM()))}
	if known {
		lines[0] = fmt.Sprintf("%s of ground straight down the fall through it, a drop of %s; true to scale.", feetText(s.units, s.LengthM()), feetText(s.units, high-low))
	}
	for _, z := range s.HeightsM {
		if math.IsNaN(z) {
			lines = append(lines, "Dots: no elevation there.")
			break
		}
	}
	if s.machine < 0 {
		return append(lines, "No machine works any of this stretch.")
	}
	m := fleet[s.machine]
	length := s.units.Length(groundside.LengthM(m))
	return append(lines, fmt.Sprintf("Drawn: %s, %s long, on the nearest of its ground.", text.OneLine(m.Name), length))
}

// rangeM are the lowest and the highest height, and whether any is known.
func (s *dangerSide) rangeM() (low, high float64, known bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, z := range s.HeightsM {
		if !math.IsNaN(z) {
			low, high, known = min(low, z), max(high, z), true
		}
	}
	return low, high, known
}

// withSide adds the picture of the worst danger to what the sheet holds, where there is one:
// on a screen it comes first after what the first page of paper holds.
func (p *Page) withSide(all contents) contents {
	side := p.dangerSide()
	if side == nil {
		return all
	}
	return slices.Insert(all, frontSections, section{
		ID: sideSection, Heading: fmt.Sprintf("Danger %d from the side", side.number),
		Lines: []string{strings.Join(side.tells(p.Map.Fleet), " ")}, Figures: side.figures(p.Map.Fleet),
	})
}

// sideIfRoom sets the picture of the worst danger where the page has room for all of it, and
// reports whether it has: it adds no page, and shortens no list.
func (c *column) sideIfRoom(all contents) bool {
	for _, s := range all {
		if s.ID != sideSection {
			continue
		}
		y, n := c.y, len(c.page.Shapes)
		c.section(s, bodySize)
		if c.fits(c.page) {
			return true
		}
		c.y, c.page.Shapes = y, c.page.Shapes[:n]
	}
	return false
}
