package batch

import (
	"bytes"
	"encoding/gob"
	"runtime"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/vector"
)

// Job is what is to be done with each lot. It is sent to other processes.
type Job struct {
	Parcels        string // boundary file
	ParcelOptions  vector.Options
	Boundary       vector.Quality // how well its lines are known; "" where nobody says
	Elevation      []string       // what raster.NewCatalogue takes
	RasterOptions  raster.Options
	Site           survey.SiteFiles // what is known of the ground beside
	Fleet          []zoning.Machine
	Options        survey.Options
	CacheBytes     int64          // of each worker's block cache
	Entries        []raster.Entry // elevation that the lots touch; for workers
	LookedAtBefore map[int]string // places that killed a reader, and how; for readers
}

// DefaultCacheBytes is a block cache for each of a few workers: some thirty blocks of
// 512 × 512 heights.
const DefaultCacheBytes = 32 << 20

func (j Job) encode() ([]byte, error) {
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(j)
	return b.Bytes(), err
}

func decodeJob(b []byte) (j Job, err error) {
	err = gob.NewDecoder(bytes.NewReader(b)).Decode(&j)
	return j, err
}

// Mapper maps lots one after another.
type Mapper interface {
	Map(lot vector.Lot) (*zoning.ZoneMap, error)
	Counts() raster.CacheCounts
}

// surveyor maps lots by [survey]. It is the one place of this package that runs
// the line from a lot to its zones.
type surveyor struct {
	job       Job
	cache     *raster.Cache
	catalogue *raster.Catalogue
	features  []site.Feature
}

// NewMapper makes the mapper of a job. It belongs to the goroutine that calls it,
// which it ties to its thread: PROJ opens its database anew on every thread that
// asks it something.
func NewMapper(job Job) (Mapper, error) {
	runtime.LockOSThread()
	features, err := job.Site.Read()
	if err != nil {
		return nil, err
	}
	cache := raster.NewCache(job.CacheBytes)
	return &surveyor{job, cache, raster.CatalogueOf(job.Entries, job.RasterOptions, cache), features}, nil
}

func (s *surveyor) Map(lot vector.Lot) (*zoning.ZoneMap, error) {
	ground, err := survey.PrepareLot(s.catalogue, s.job.Parcels, lot, s.job.Boundary, s.features)
	if err != nil {
		return nil, err
	}
	return survey.Map(ground, s.job.Fleet, s.job.Options)
}

func (s *surveyor) Counts() raster.CacheCounts { return s.cache.Counts() }
