package find

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/textfile"
)

var (
	ErrPartial       = errors.New("its answer is not whole")
	ErrTooMany       = errors.New("it covers too much ground; split the boundary, or give elevation for it")
	ErrNotUnderstood = errors.New("its answer is not understood")
)

// mostTiles is more rasters than any county has.
const mostTiles = 100_000

// DefaultLimit is how long a whole search may take.
const DefaultLimit = time.Minute

// answerLimits hold what a service answers: a page of a hundred rasters takes a hundredth part.
var answerLimits = textfile.Limits{Bytes: 64 << 20, Tokens: 8 << 20, Depth: 64}

func parse(text []byte, into any) error {
	if err := answerLimits.JSON(text); err != nil {
		return fmt.Errorf("%w: %w", ErrNotUnderstood, err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		return fmt.Errorf("%w: %w (it begins with %s)", ErrNotUnderstood, err, shorten(string(text)))
	}
	return nil
}

func shorten(text string) string {
	const most = 80
	if r := []rune(text); len(r) > most {
		return fmt.Sprintf("%q…", string(r[:most]))
	}
	return fmt.Sprintf("%q", text)
}

// Reply is what one source had for some ground.
type Reply struct {
	Source  Source
	Outside bool // the ground lies outside its area, so it was not asked
	Tiles   int  // that it listed, or 1 of a file
}

// Search is what sources have for some ground.
type Search struct {
	Tiles   []Tile // the finest first, of equals the newest
	Replies []Reply
}

// Near asks sources for the rasters of some ground, given by boxes in degrees; those without a size of cells are left out, and the
// rest asked one after another, the finest first. A source that does not answer whole ends it: ground is not mapped on what happened
// to answer. The context should have a limit, such as [DefaultLimit].
func Near(ctx context.Context, c *fetch.Client, sources []Source, boxes []orb.Bound) (*Search, error) {
	asked := slices.DeleteFunc(slices.Clone(sources), func(s Source) bool { return s.Kind == KindOverpass || math.IsNaN(s.CellM()) })
	slices.SortStableFunc(asked, func(a, b Source) int { return cmp.Compare(a.CellM(), b.CellM()) })
	found := &Search{}
	rank := -1
	for i, s := range asked {
		if i == 0 || s.CellM() > asked[i-1].CellM() {
			rank++
		}
		var tiles []Tile
		reply := Reply{Source: s, Outside: true}
		seen := map[string]bool{}
		for _, box := range boxes {
			if !s.Covers(box) {
				continue
			}
			reply.Outside = false
			got, err := s.in(ctx, c, box)
			if err != nil {
				return nil, &Unanswered{s, err}
			}
			for _, t := range got {
				if !seen[t.Address] {
					seen[t.Address] = true
					t.Rank = rank
					tiles = append(tiles, t)
				}
			}
		}
		newest(tiles)
		reply.Tiles = len(tiles)
		found.Tiles = append(found.Tiles, tiles...)
		found.Replies = append(found.Replies, reply)
	}
	for i, from := 0, 0; i <= len(found.Tiles); i++ { // of sources as fine as each other the newest first too
		if i == len(found.Tiles) || found.Tiles[i].Rank != found.Tiles[from].Rank {
			newest(found.Tiles[from:i])
			from = i
		}
	}
	return found, nil
}

// in lists a source's tiles in a box.
func (s Source) in(ctx context.Context, c *fetch.Client, box orb.Bound) ([]Tile, error) {
	switch s.Kind {
	case KindTNM:
		return searchTNM(ctx, c, s, box)
	case KindSTAC:
		return searchSTAC(ctx, c, s, box)
	}
	return []Tile{{Address: s.Address, Box: nowhere, Found: terrain.Found{Service: s.Key}}}, nil
}

// Unanswered says that a source gave no whole answer.
type Unanswered struct {
	Source Source
	Err    error
}

func (u *Unanswered) Error() string {
	return fmt.Sprintf("%s (%s): %v", u.Source.Key, u.Source.Name, u.Err)
}
func (u *Unanswered) Unwrap() error { return u.Err }
