package raster

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
)

// Examine is [Open] for someone who asks what a raster is: beside an error it
// still returns what could be read.
func Examine(ctx context.Context, path string, o Options) (*Raster, terrain.Source, error) {
	if err := o.checkAddresses(path); err != nil {
		return nil, terrain.Source{Path: path}, fmt.Errorf("%s: %w", path, err)
	}
	ds, err := openDataset(ctx, path, o)
	if err != nil {
		return nil, terrain.Source{Path: path}, unopened(path, err)
	}
	r := &Raster{options: o, ds: ds, Source: terrain.Source{Path: path}}
	if err = r.read(o); err == nil {
		err = r.checkValues(ctx)
	}
	r.readTags()
	if err != nil {
		source := r.Source
		r.Close()
		return nil, source, fmt.Errorf("%s: %w", path, err)
	}
	return r, r.Source, nil
}

// readTags gathers free-text tags that speak of heights or of their date. They are shown to
// people and relied on for nothing: no standard says what they mean.
func (r *Raster) readTags() {
	for k, v := range r.ds.Metadatas() {
		key := strings.ToLower(k)
		if strings.Contains(key, "unit") || strings.Contains(key, "vertical") || strings.Contains(key, "datum") ||
			strings.Contains(key, "date") || strings.Contains(key, "survey") {
			r.Source.Tags = append(r.Source.Tags, k+"="+shorten(v))
		}
	}
	slices.Sort(r.Source.Tags)
	if r.ds.Metadata("AREA_OR_POINT") == "Point" {
		r.Source.Tags = append(r.Source.Tags, "AREA_OR_POINT=Point: heights at cell middles, as always taken here")
	}
}

// surveyKeys are names under which writers of rasters leave the day of the survey.
// No standard has one; when a file was written (TIFFTAG_DATETIME) is not it.
var surveyKeys = []string{"survey_date", "surveyed", "acquisition_date", "date_acquired", "collection_date"}

// surveyed finds the date of the survey in a raster's metadata, as 2019, 2019-06 or
// 2019-06-30.
func surveyed(tags map[string]string) string {
	for _, k := range slices.Sorted(maps.Keys(tags)) {
		if !slices.Contains(surveyKeys, strings.ToLower(k)) {
			continue
		}
		v := tags[k]
		for _, layout := range []string{"2006-01-02", "2006-01", "2006", "20060102", "2006/01/02"} {
			if d, err := time.Parse(layout, strings.TrimSpace(v)); err == nil {
				return d.Format(map[bool]string{true: "2006-01-02", false: layout}[len(layout) > 7])
			}
		}
	}
	return ""
}

// Sample is what a look at some of a raster's cells shows.
type Sample struct {
	Cells, Voids      int
	NotGround         int // those of Voids whose height no ground has
	LowestM, HighestM float64
}

// Sample looks at up to 1024 × 1024 cells spread evenly over the raster.
func (r *Raster) Sample(ctx context.Context) (Sample, error) {
	const most = 1024
	cols, rows := min(r.Source.Cols, most), min(r.Source.Rows, most)
	v, err := r.stored(ctx, r.Extent(), cols, rows)
	if err != nil {
		return Sample{}, fmt.Errorf("%s: %w", r.Source.Path, err)
	}
	notGround := r.toMetres(v)
	s := Sample{Cells: len(v), NotGround: notGround, LowestM: math.Inf(1), HighestM: math.Inf(-1)}
	for _, h := range v {
		if h != h {
			s.Voids++
			continue
		}
		s.LowestM, s.HighestM = min(s.LowestM, h), max(s.HighestM, h)
	}
	return s, nil
}

// Corners are the longitude and latitude of the raster's first and last corner:
// north-west and south-east on a north-up raster.
func (r *Raster) Corners() [2]orb.Point {
	p, err := r.Locate([][2]float64{{0, 0}, {float64(r.Source.Cols), float64(r.Source.Rows)}})
	if err != nil {
		return [2]orb.Point{}
	}
	return [2]orb.Point{{math.Remainder(p[0][0], 360), p[0][1]}, {math.Remainder(p[1][0], 360), p[1][1]}}
}

// MiddleGround is the ground of up to most × most cells in the raster's middle.
func (r *Raster) MiddleGround(most int) (orb.MultiPolygon, error) {
	// The halo of a reading would reach beyond a raster taken whole.
	half := func(n int) (float64, float64) {
		k := float64(min(n, most)) / 2
		return float64(n)/2 - k + min(k, 1)/2, float64(n)/2 + k - min(k, 1)/2
	}
	w, e := half(r.Source.Cols)
	n, s := half(r.Source.Rows)
	p, err := r.Locate([][2]float64{{w, n}, {w, s}, {e, s}, {e, n}, {w, n}})
	if err != nil {
		return nil, err
	}
	ring := make(orb.Ring, len(p))
	for i, q := range p {
		ring[i] = orb.Point{p[0][0] + math.Remainder(q[0]-p[0][0], 360), q[1]}
	}
	return orb.MultiPolygon{{ring}}, nil
}

// GroundPerMap is how long a metre of the raster's map is on the ground, along a
// row in its middle; ok is false where its CRS is in degrees. Far from 1, slope
// read in map units would be wrong by that factor: here it is taken on the ground.
func (r *Raster) GroundPerMap() (ratio float64, ok bool) {
	if r.place.geographic {
		return 0, false
	}
	return r.Source.CellM[0] / (math.Hypot(r.grid[1], r.grid[4]) * r.place.unitM), true
}
