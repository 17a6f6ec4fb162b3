package coverage

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/text"
)

// fault is why a side of a parcel cannot be cut, and a vertex where.
type fault struct {
	why error
	at  Vertex
}

func (f *fault) Error() string { return f.why.Error() }
func (f *fault) Unwrap() error { return f.why }

var (
	errUndecided = errors.New("the ground could not be told to lie inside or outside of the parcel")
	errCrowded   = fmt.Errorf("%w: too many of its edges lie in one cell", ErrTooFine)
)

// cureUndecided is what to do about errUndecided, which is a fault of this package.
const cureUndecided = ": move a corner near there by a foot, or map with cells of another size, and send the boundary and the elevation to whoever keeps this program"

// placed names the place of a fault on a side, in degrees, for people to read.
func (s side) placed(err error, unit float64) error {
	var f *fault
	if !errors.As(err, &f) {
		return err
	}
	cure := ""
	if f.why == errUndecided {
		cure = cureUndecided
	}
	at := orb.Point{float64(f.at.X-s.turn) / unit, float64(f.at.Y) / unit}
	return fmt.Errorf("%w, around %s%s", f.why, text.Degrees(at), cure)
}
