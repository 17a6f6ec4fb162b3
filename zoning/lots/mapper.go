package lots

import (
	"bytes"
	"cmp"
	"context"
	"encoding/gob"
	"runtime"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// Job is what is to be done with each lot. It is sent to other processes.
type Job struct {
	Parcels        string // boundary file
	ParcelOptions  read.Options
	Boundary       zoning.BoundaryQuality // how well its lines are known; "" where nobody says
	Elevation      []string               // what raster.NewCatalogue takes
	RasterOptions  raster.Options
	Surface        []string // first surfaces; as Elevation
	SurfaceOptions raster.Options
	FindSurface    bool           // the first surface is that of the survey which services found
	Site           read.SiteFiles // what is known of the ground beside
	Fleet          zoning.Fleet
	Options        mapping.Options
	CacheBytes     int64          // of each worker's block caches
	ReaderBytes    int64          // of memory that reading lots and site files takes; 0 is [DefaultReaderBytes]
	Entries        []raster.Entry // elevation that the lots touch; for workers
	SurfaceEntries []raster.Entry // first surfaces likewise
	Lent           []site.Feature // what maps of others show around the lots; for workers
	LookedAtBefore map[int]Fault  // places that killed readers, and how; for readers
	UnreadBefore   map[int]bool   // places that an earlier start could not read; for readers
}

// DefaultCacheBytes is a block cache for each of a few workers: some thirty blocks of
// 512 × 512 heights.
const DefaultCacheBytes = 32 << 20

// DefaultReaderBytes is the memory that the lots of a county take many times over; of
// what is kept whole while it is read, as KML is, it is enough for 150 MB.
const DefaultReaderBytes = 2 << 30

func (j Job) readerBytes() int64 { return cmp.Or(j.ReaderBytes, DefaultReaderBytes) }

// cacheBytes is the size of a worker's cache of elevation. One of a first surface is as
// large: the same ground is wanted of both.
func (j Job) cacheBytes() int64 {
	if j.hasSurface() {
		return j.CacheBytes / 2
	}
	return j.CacheBytes
}

func (j Job) hasSurface() bool { return len(j.Surface) > 0 || j.FindSurface }

// tellAll has all that comes of the job told in the units of its Options.
func (j *Job) tellAll() error {
	u := j.Options.Units
	j.ParcelOptions.Units, j.Site.SiteOptions.Units = u, u
	j.RasterOptions.Units, j.SurfaceOptions.Units = u, u
	return u.Check()
}

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
	Map(lot zoning.Lot) (*zoning.ZoneMap, error)
	Counts() raster.CacheCounts
}

// surveyor maps lots by [mapping.Map]. It is the one place of this package that runs
// the line from a lot to its zones.
type surveyor struct {
	job    Job
	lots   read.LotSource
	caches []*raster.Cache
}

// NewMapper makes the mapper of a job. It belongs to the goroutine that calls it,
// which it ties to its thread: PROJ opens its database anew on every thread that
// asks it something.
func NewMapper(job Job) (Mapper, error) {
	runtime.LockOSThread()
	features, err := job.Site.ReadDrawn(context.Background())
	if err != nil {
		return nil, err
	}
	s := &surveyor{job: job, lots: read.LotSource{File: job.Parcels, Boundary: job.Boundary, Features: features, Lent: read.NeighborhoodOf(job.Lent)}}
	s.lots.Elevation = s.catalogue(job.Entries, job.RasterOptions)
	if job.hasSurface() {
		s.lots.Surface = s.catalogue(job.SurfaceEntries, read.SurfaceOptions(job.SurfaceOptions))
	}
	return s, nil
}

// catalogue is one with a cache of its own.
func (s *surveyor) catalogue(entries []raster.Entry, o raster.Options) *raster.Catalogue {
	cache := raster.NewCache(s.job.cacheBytes())
	s.caches = append(s.caches, cache)
	return raster.CatalogueOf(entries, o, cache)
}

func (s *surveyor) Map(lot zoning.Lot) (*zoning.ZoneMap, error) {
	ground, err := s.lots.Prepare(context.Background(), lot)
	if err != nil {
		return nil, err
	}
	return mapping.Map(context.Background(), ground, s.job.Fleet, s.job.Options)
}

func (s *surveyor) Counts() (sum raster.CacheCounts) {
	for _, cache := range s.caches {
		n := cache.Counts()
		sum.Touched += n.Touched
		sum.Decoded += n.Decoded
		sum.Served += n.Served
		sum.Bytes += n.Bytes
	}
	return sum
}
