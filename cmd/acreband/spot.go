package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/alecthomas/kong"
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/units"
)

// spot is a place on the command line: LAT,LON as the program prints it, or LON,LAT.
type spot struct {
	given string
	place units.Place
}

// Decode takes what follows the flag as it is: a longitude west of Greenwich begins with
// a hyphen, as flags do.
func (p *spot) Decode(ctx *kong.DecodeContext) (err error) {
	if next := ctx.Scan.Pop(); !next.IsEOL() {
		p.given = next.String()
	}
	p.place, err = units.ParsePlace(p.given)
	return err
}

// at is the place, by where the lots lie if its numbers do not say which is the latitude.
func (p *spot) at(lots []zoning.Lot) orb.Point { return p.place.Near(boxOf(lots)) }

// understood says how a spot was read, where its text may be read in another way.
func understood(flag, given string, at orb.Point) string {
	if strings.ContainsAny(given, "NSEWnsew") {
		return ""
	}
	return fmt.Sprintf("%s %s is read as %s", flag, given, text.Degrees(at))
}

// boxOf is the box around lots; empty where there are none.
func boxOf(lots []zoning.Lot) orb.Bound {
	box := orb.MultiPolygon{}.Bound()
	for _, lot := range lots {
		box = box.Union(lot.Ground.Bound())
	}
	return box
}

// joinSpots joins each spot to its flag: a shell takes --why 36.3420 N, 84.2455 W apart, and
// the longitude of --staging -84.2455,36.342 would pass for flags.
func joinSpots(args []string) []string {
	const most = 4 // words of a spot
	for i := 0; i+1 < len(args); i++ {
		if !slices.Contains([]string{"--why", "--help-at", "--staging"}, args[i]) {
			continue
		}
		for n := 1; n <= most && i+n < len(args); n++ {
			joined := strings.Join(args[i+1:i+1+n], " ")
			if _, err := units.ParsePlace(joined); err == nil && (n == 1 || strings.ContainsAny(joined, "NSEWnsew")) {
				args = slices.Replace(slices.Clone(args), i, i+1+n, args[i]+"="+joined)
				break
			}
		}
	}
	return args
}
