package lots

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/acreband/acreband/zoning/resume"
)

// checkRasters refuses to go on where rasters were overwritten while lots were mapped
// with them: which of the lots rest on which nobody knows, so all are forgotten.
func (r *run) checkRasters(found reading) error {
	now, err := found.inputs(context.Background())
	if err != nil {
		return err
	}
	if changes := now.Overwritten(found.Inputs); len(changes) > 0 {
		r.Log.Warn("rasters were changed during the run", "changes", resume.Listed(changes))
		err := fmt.Errorf("%s: %w, so that some lots rest on the old and some on the new: %s; nothing is written, and what was mapped is forgotten: start again when those files are final",
			r.Dir, resume.ErrChanged, resume.Listed(changes))
		return errors.Join(err, os.Truncate(r.store.Name(), 0))
	}
	if changes := now.Changes(found.Inputs, true); len(changes) > 0 {
		r.Log.Warn("rasters went away during the run", "changes", resume.Listed(changes))
		r.result.Warnings = append(r.result.Warnings, "rasters went away while lots were mapped; lots on them failed or rest on them as they were: "+resume.Listed(changes))
	}
	return nil
}
