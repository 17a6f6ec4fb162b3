package page

import (
	"context"
	"math"
	"net/http"
	"path/filepath"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
)

// Two rasters of one place are looked at in so many spots a side. One of them is a surface where
// it stands higher than a meter above the other in a twentieth of them, and the other hardly ever
// above it.
const (
	aboveSide   = 24
	aboveLeastM = 1
	aboveShare  = 0.05
)

// above answers which of two rasters lies above the other: "first", "second", or "" where neither
// does, as neighbors do not.
func (s *Server) above(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	which, err := on(ctx, s.threads, func() (string, error) {
		var both [2]*raster.Raster
		for i, id := range []string{r.PathValue("id"), r.PathValue("other")} {
			d, done, err := s.tray.use(id)
			if err != nil {
				return "", err
			}
			defer done()
			if !d.takes(asSurface) {
				return "", refuse(http.StatusNotFound, "%s is no elevation", d.seen.Name)
			}
			both[i], err = raster.Open(ctx, filepath.Join(d.folder, d.seen.Name), raster.Options{Unit: d.unit, Surface: true, Bare: true})
			if err != nil {
				return "", unusable(err)
			}
			defer both[i].Close()
		}
		return higher(ctx, both[0], both[1])
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.reply(w, r, struct {
		Above string `json:"above"`
	}{which})
}

// higher compares two rasters in spots that both have heights of.
func higher(ctx context.Context, a, b *raster.Raster) (string, error) {
	e := a.Extent()
	var cells [][2]float64
	for i := range aboveSide * aboveSide {
		cells = append(cells, [2]float64{
			(float64(i%aboveSide) + 0.5) / aboveSide * float64(e.Cols()), (float64(i/aboveSide) + 0.5) / aboveSide * float64(e.Rows()),
		})
	}
	spots, err := a.Locate(cells)
	if err != nil {
		return "", err
	}
	others, err := b.Cells(spots)
	if err != nil {
		return "", err
	}
	var spotsM [2]int // where a and where b stands higher
	known := 0
	for i := range spots {
		ha, err := heightAt(ctx, a, cells[i])
		if err != nil {
			return "", err
		}
		hb, err := heightAt(ctx, b, others[i])
		if err != nil {
			return "", err
		}
		switch d := ha - hb; {
		case d != d: // one has no height there
			continue
		case d > aboveLeastM:
			spotsM[0]++
		case d < -aboveLeastM:
			spotsM[1]++
		}
		known++
	}
	least := max(1, int(aboveShare*float64(known)))
	switch {
	case spotsM[0] >= least && spotsM[0] > 4*spotsM[1]:
		return "first", nil
	case spotsM[1] >= least && spotsM[1] > 4*spotsM[0]:
		return "second", nil
	}
	return "", nil
}

// heightAt is the height of the cell that a place lies in, in meters; NaN where there is none.
func heightAt(ctx context.Context, r *raster.Raster, at [2]float64) (float64, error) {
	e := r.Extent()
	if !(at[0] >= 0 && at[1] >= 0 && at[0] < float64(e.Cols()) && at[1] < float64(e.Rows())) {
		return math.NaN(), nil
	}
	w := terrain.Window{Col0: int(at[0]), Row0: int(at[1]), Col1: int(at[0]) + 1, Row1: int(at[1]) + 1}
	g, err := r.Overview(ctx, w, 1, 1)
	if err != nil {
		return 0, err
	}
	return g.At(0, 0), nil
}
