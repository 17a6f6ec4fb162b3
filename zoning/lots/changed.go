package lots

import (
	"errors"
	"fmt"
	"os"
)

// ErrChanged says that rasters were overwritten while ground was mapped with them.
var ErrChanged = errors.New("rasters were changed during the run")

// Overwritten lists in words the inputs of earlier that are now something else. One that
// is gone is not among them: nothing rests on what came after it.
func (n Inputs) Overwritten(earlier Inputs) []string {
	there := map[string]bool{}
	for _, i := range n {
		there[i.Name] = i.Value != unread
	}
	var before, now Inputs
	for _, i := range earlier {
		if there[i.Name] {
			before = append(before, i)
		}
	}
	for _, i := range n {
		if there[i.Name] {
			now = append(now, i)
		}
	}
	return now.Changes(before, true)
}

// checkRasters refuses to go on where rasters were overwritten while lots were mapped
// with them: which of the lots rest on which nobody knows, so all are forgotten.
func (r *run) checkRasters(found reading) error {
	now, err := found.inputs()
	if err != nil {
		return err
	}
	if changes := now.Overwritten(found.Inputs); len(changes) > 0 {
		r.Log.Warn("rasters were changed during the run", "changes", Listed(changes))
		err := fmt.Errorf("%s: %w, so that some lots rest on the old and some on the new: %s; nothing is written, and what was mapped is forgotten: start again when they are as they shall be",
			r.Dir, ErrChanged, Listed(changes))
		return errors.Join(err, os.Truncate(r.store.Name(), 0))
	}
	if changes := now.Changes(found.Inputs, true); len(changes) > 0 {
		r.Log.Warn("rasters went away during the run", "changes", Listed(changes))
		r.result.Warnings = append(r.result.Warnings, "rasters went away while lots were mapped; lots on them failed or rest on them as they were: "+Listed(changes))
	}
	return nil
}
