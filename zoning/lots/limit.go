package lots

import (
	"errors"
	"fmt"
	"time"
)

// overLimit is [errTookTooLong] with the limit that was in force.
type overLimit struct{ limit time.Duration }

func (e overLimit) Error() string { return fmt.Sprintf("it took longer than %v", e.limit) }
func (overLimit) Unwrap() error   { return errTookTooLong }

// within adds the limit in force to the error of a process that did not keep to it.
func within(limit time.Duration, err error) error {
	if errors.Is(err, errTookTooLong) {
		return overLimit{limit}
	}
	return err
}
