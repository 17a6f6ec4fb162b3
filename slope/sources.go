package slope

import (
	"fmt"
	"math"
	"slices"
)

// source is the vertical error that is published for a kind of elevation. A root
// mean square error is taken as a standard deviation, which is on the safe side:
// it holds the shift of the whole raster too, and that tilts nothing.
type source struct {
	kind, from string
	sigmaM     float64
	coverM     float64 // under brush and trees; 0 where no figure is known
}

// Under cover, the specification of US lidar bounds the 95th percentile of the
// error, and errors that were normal would have 1/1.96 of it as their standard
// deviation. They are not: Höhle and Höhle 2009 found long tails (from memory).
const percentile95 = 1.96

var sources = []source{
	// Lidar Base Specification of the US Geological Survey, from memory: RMSEz on
	// open ground 5, 10, 10 and 20 cm; vegetated vertical accuracy, at the 95th
	// percentile, 15, 30, 30 and 60 cm.
	{"lidar-ql0", "Lidar Base Specification, quality level 0 (from memory)", 0.05, 0.15 / percentile95},
	{"lidar-ql1", "Lidar Base Specification, quality level 1 (from memory)", 0.10, 0.30 / percentile95},
	{"lidar-ql2", "Lidar Base Specification, quality level 2 (from memory)", 0.10, 0.30 / percentile95},
	{"lidar-ql3", "Lidar Base Specification, quality level 3 (from memory)", 0.20, 0.60 / percentile95},
	// 2022: Remote Sensing 14(4):940. It was 1.55 m in 2013: USGS Open-File Report
	// 2014-1008.
	{"3dep-third-arc-second", "3DEP 1/3 arc-second, RMSE 0.82 m (2022)", 0.82, 0},
	// The error of the height difference between neighbouring points, used here for
	// each height, which is on the safe side.
	{"ned-one-arc-second", "NED 1 arc-second, relative accuracy 1.64 m", 1.64, 0},
	// Mission specification: 16 m at 90%, over 1.645. Under cover the radar saw part
	// of the trees: that is no noise, and no figure for noise holds it.
	{"srtm", "SRTM specification, 16 m at 90 % (RMSE 9.73 m)", 9.73, 0},
}

// Kinds returns the kinds of elevation whose vertical error is known by name.
func Kinds() []string {
	var kinds []string
	for _, s := range sources {
		kinds = append(kinds, s.kind)
	}
	return kinds
}

// NoiseOfKind returns the published vertical error on open ground of a kind of
// elevation, one of [Kinds]. No correlation length is published with any.
func NoiseOfKind(kind string) (Noise, bool) {
	i := slices.IndexFunc(sources, func(s source) bool { return s.kind == kind })
	if i < 0 {
		return Noise{}, false
	}
	return Noise{sources[i].sigmaM, RangeUnknown, sources[i].from}, true
}

// NoiseUnderCover returns the published vertical error of a kind of elevation
// under brush and trees, where land is cleared. It is false for kinds of which no
// such figure is known: their error under cover is larger than on open ground,
// by how much is not known.
//
// The figures are what a survey must meet, half again the open ground's. One
// survey's measured: under 70-year-old conifers 0.29 m against 0.23 m on a
// clearcut (Reutebuch et al. 2003, Can. J. Remote Sensing 29:527).
func NoiseUnderCover(kind string) (Noise, bool) {
	i := slices.IndexFunc(sources, func(s source) bool { return s.kind == kind && s.coverM > 0 })
	if i < 0 {
		return Noise{}, false
	}
	return Noise{sources[i].coverM, RangeUnknown, sources[i].from + ", under cover"}, true
}

// AssumedNoise returns a vertical error for a raster of which nothing is known
// but its cell, in metres on the ground. It is an assumption, and From says so:
// a cell's size says who usually makes such rasters, not how this one was made,
// and one resampled to finer cells is as bad as it was. Of the sources with such
// cells the worst is taken, under cover where that is known.
func AssumedNoise(cellM float64) Noise {
	var kind string
	switch {
	case !(cellM > 0) || math.IsInf(cellM, 0):
		return Noise{math.NaN(), RangeUnknown, fmt.Sprintf("unknown: a cell of %g m says nothing", cellM)}
	case cellM <= 2:
		kind = "lidar-ql2"
	case cellM <= 6: // 1/9 arc-second and coarse lidar
		kind = "lidar-ql3"
	case cellM <= 15:
		kind = "3dep-third-arc-second"
	default:
		kind = "srtm"
	}
	n, ok := NoiseUnderCover(kind)
	if !ok {
		n, _ = NoiseOfKind(kind)
	}
	n.From = fmt.Sprintf("assumed from the cell size of %.3g m: %s", cellM, n.From)
	return n
}
