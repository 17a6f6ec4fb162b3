package resume

import "errors"

var (
	// ErrInputs says that what an earlier run left was made from other inputs.
	ErrInputs = errors.New("made from other inputs")
	// ErrChanged says that rasters were overwritten while ground was mapped with them.
	ErrChanged = errors.New("rasters were changed during the run")
)
