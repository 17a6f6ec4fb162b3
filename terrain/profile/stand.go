package profile

import "math"

// Stance is how a straight thing rests on the ground along a line: on the two highest spots
// under it, one on either side of its middle.
type Stance struct {
	FromM, ToM float64 // where it begins and ends along the line
	FromZ, ToZ float64 // heights of its underside there
	SlopePct   float64 // of its underside, above 0 where it rises on the way
	HollowM    float64 // of the ground under it, at its deepest below that underside
}

// Stand rests a thing of a length with its middle at a distance along the line. It reports
// whether it stands: not where ground under it is not known, or the line ends under it. The
// length is that of the thing, tilted as it is.
func (p *Profile) Stand(middleM, lengthM float64) (Stance, bool) {
	if !(lengthM > 0) {
		return Stance{}, false
	}
	var under []spot
	var a spot
	rise := 0.0
	for half, n := lengthM/2, 0; n < mostTilts; n++ {
		under = p.under(middleM-half, middleM+half)
		if under == nil {
			return Stance{}, false
		}
		var b spot
		a, b = resting(under, middleM)
		rise = (b.z - a.z) / (b.x - a.x)
		next := lengthM / 2 / math.Hypot(1, rise)
		if math.Abs(next-half) < 1e-3 {
			break
		}
		half = next
	}
	half := lengthM / 2 / math.Hypot(1, rise)
	at := func(x float64) float64 { return a.z + rise*(x-a.x) }
	s := Stance{FromM: middleM - half, ToM: middleM + half, FromZ: at(middleM - half), ToZ: at(middleM + half), SlopePct: 100 * rise}
	for _, g := range under {
		s.HollowM = max(s.HollowM, at(g.x)-g.z)
	}
	return s, true
}

// mostTilts is how often what lies under a thing is looked for: the more it tilts, the less
// ground does.
const mostTilts = 6

// under is the ground from a distance to another, nil where it is not known or the line does
// not reach that far.
func (p *Profile) under(from, to float64) []spot {
	if from < 0 || to > p.LengthM() {
		return nil
	}
	all := []spot{{from, p.HeightAt(from)}}
	for i := p.before(from) + 1; i < len(p.DistancesM) && p.DistancesM[i] < to; i++ {
		all = append(all, spot{p.DistancesM[i], p.HeightsM[i]})
	}
	all = append(all, spot{to, p.HeightAt(to)})
	for _, s := range all {
		if math.IsNaN(s.z) {
			return nil
		}
	}
	return all
}

// spot is a place of the profile: how far along, and how high.
type spot struct{ x, z float64 }

// resting are the two spots of the upper hull of the ground between which a middle lies.
func resting(under []spot, middle float64) (a, b spot) {
	var hull []spot
	for _, s := range under {
		for n := len(hull); n >= 2 && (hull[n-1].z-hull[n-2].z)*(s.x-hull[n-2].x) <= (s.z-hull[n-2].z)*(hull[n-1].x-hull[n-2].x); n = len(hull) {
			hull = hull[:n-1]
		}
		hull = append(hull, s)
	}
	for i := 1; i < len(hull)-1; i++ {
		if hull[i].x >= middle {
			return hull[i-1], hull[i]
		}
	}
	return hull[len(hull)-2], hull[len(hull)-1]
}
