package osm

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// Boxes that a server is asked for lie on a grid of gridDeg degrees, so that it does not learn
// where a lot's lines run, and the lots beside it get the same answer; each is no wider than
// tileDeg, and there are no more than mostTiles of them.
const (
	gridDeg   = 0.01
	tileDeg   = 0.1
	mostTiles = 200
)

// Queries are what to ask an Overpass API, in its language, to get all that [ReadAnswers]
// reads around lots: one question for each tile of their box. Lots that lie too far
// apart for a lent server are refused.
func Queries(lots orb.Bound) ([]string, error) {
	if lots.IsEmpty() {
		return nil, errNoLots
	}
	box := Kept(lots)
	west, south := math.Floor(box.Min[0]/gridDeg)*gridDeg, math.Floor(box.Min[1]/gridDeg)*gridDeg
	cols, rows := math.Ceil((box.Max[0]-west)/tileDeg), math.Ceil((box.Max[1]-south)/tileDeg)
	if n := cols * rows; n > mostTiles {
		return nil, fmt.Errorf("the lots lie as far apart as %.0f boxes of %.1f degrees, and a server that is lent is asked for %d: give an extract of their ground", n, tileDeg, mostTiles)
	}
	var out []string
	for s := south; s < box.Max[1]; s += tileDeg {
		for w := west; w < box.Max[0]; w += tileDeg {
			e, n := min(w+tileDeg, math.Ceil(box.Max[0]/gridDeg)*gridDeg), min(s+tileDeg, math.Ceil(box.Max[1]/gridDeg)*gridDeg)
			out = append(out, query(s, w, n, e))
		}
	}
	return out, nil
}

// query asks for what rules are about in a box, and for the nodes and ways that draw it.
func query(south, west, north, east float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "[out:xml][timeout:60][maxsize:67108864][bbox:%.2f,%.2f,%.2f,%.2f];(", south, west, north, east)
	var asked []string
	for _, r := range rules {
		if !slices.Contains(asked, r.key) {
			asked = append(asked, r.key)
			fmt.Fprintf(&b, "nwr[%q];", r.key)
		}
	}
	b.WriteString(");(._;>;);out body;")
	return b.String()
}

// ReadAnswers reads what a server answered to [Queries], as [Read] reads an extract. An answer
// that is not whole is refused; one that shows nothing is not.
func ReadAnswers(ctx context.Context, answers [][]byte, o Options) (*Extract, error) {
	around, err := look(ctx, func(ctx context.Context, want wanted, visit func(*element) error) (asOf string, err error) {
		for _, a := range answers {
			day, err := walkXML(ctx, bytes.NewReader(a), want, visit)
			if err != nil {
				return "", err
			}
			if asOf == "" || day < asOf {
				asOf = day
			}
		}
		return asOf, nil
	}, o.Lots)
	if err != nil {
		return nil, err
	}
	box := Kept(o.Lots)
	around.extent = box // which was asked for
	m := &maker{found: around, o: o, box: box}
	m.all()
	return &Extract{Features: m.out, AsOf: around.asOf, Notes: m.notes()}, nil
}
