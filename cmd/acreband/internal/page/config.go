package page

import (
	"cmp"
	"log/slog"
	"os/exec"
	"time"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
)

// Config is what a page is served from. Who looks at the page names none of it.
type Config struct {
	Elevation []string // as [read.Request] takes them; none asks services for each boundary, by the client of Raster
	Raster    raster.Options
	Parcels   read.Options
	Boundary  zoning.BoundaryQuality
	Fleet     zoning.Fleet
	Judge     mapping.Options

	// Book holds the costs of machines and job, and is not changed; without one the
	// page plans nothing. Cover is what grows where nobody says.
	Book  *plan.Book
	Cover plan.Cover

	// ByLimits draws maps by limits where a setting does not ask for a view; else they are
	// as planned where a crew is chosen.
	ByLimits bool

	// Outputs are the files that may be taken away, beside what was drawn on the page;
	// nil offers [Outputs].
	Outputs []Output

	// AnyAddress answers to every address of this machine, not to loopback alone, and
	// only to who has opened the page by [Server.Address].
	AnyAddress bool

	// Child makes the command of another process, not started, that calls [ServeReader]:
	// files from strangers are read there. It must be given.
	Child func() *exec.Cmd

	Limits Limits // zero values are those of [DefaultLimits]
	Log    *slog.Logger
}

// Limits bound what one request, and all together, may take.
type Limits struct {
	UploadBytes   int64         // of a request's files
	UnpackedBytes int64         // of what an archive holds
	ArchiveFiles  int           // in an archive
	XMLDepth      int           // of elements in elements
	Lots          int           // in a boundary
	Corners       int           // of all its lots
	Features      int           // drawn on the page
	Cells         int           // of elevation, for one map and for all that are being made
	Time          time.Duration // of one request
	ReadTime      time.Duration // of reading an upload
	ReaderBytes   int64         // of memory that reading an upload takes, in a process of its own
	Workers       int           // requests that work at once
	Waiting       int           // requests that wait for a worker; others are sent away
	BodyBytes     int64         // of bodies of all requests together that are being received or read
	Connections   int           // at once; others wait
	Maps          int           // kept in memory; the one unused longest goes first
	KeptBytes     int64         // of memory, all maps together with every layer of theirs
	Idle          time.Duration // after which a map is forgotten
	PictureDots   int           // of a view
	FileBytes     int64         // of a file that is dropped to be used with a boundary, on disk
	Dropped       int           // such files kept, of all pages together
	DroppedBytes  int64         // that they take on disk
	DroppedCells  int           // of one that is elevation, whole
}

// DefaultLimits serve one office: 25 million cells are some 6 000 acres at 1 m.
func DefaultLimits() Limits {
	return Limits{
		UploadBytes: 16 << 20, UnpackedBytes: 64 << 20, ArchiveFiles: 100, XMLDepth: 64,
		Lots: 500, Corners: 200_000, Features: 200, Cells: 25_000_000,
		Time: 2 * time.Minute, ReadTime: 30 * time.Second, ReaderBytes: 512 << 20, Workers: 2, Waiting: 8, BodyBytes: 64 << 20, Connections: 64,
		Maps: 6, KeptBytes: 1 << 30, Idle: 30 * time.Minute, PictureDots: 4 << 20,
		FileBytes: 512 << 20, Dropped: 24, DroppedBytes: 2 << 30, DroppedCells: 200_000_000,
	}
}

// or fills limits that are zero from others.
func (l Limits) or(d Limits) Limits {
	for _, n := range []struct{ mine, other *int }{
		{&l.ArchiveFiles, &d.ArchiveFiles}, {&l.XMLDepth, &d.XMLDepth}, {&l.Lots, &d.Lots}, {&l.Corners, &d.Corners},
		{&l.Features, &d.Features}, {&l.Cells, &d.Cells}, {&l.Workers, &d.Workers}, {&l.Waiting, &d.Waiting},
		{&l.Connections, &d.Connections}, {&l.Maps, &d.Maps}, {&l.PictureDots, &d.PictureDots},
		{&l.Dropped, &d.Dropped}, {&l.DroppedCells, &d.DroppedCells},
	} {
		*n.mine = cmp.Or(*n.mine, *n.other)
	}
	for _, n := range []struct{ mine, other *int64 }{
		{&l.UploadBytes, &d.UploadBytes}, {&l.UnpackedBytes, &d.UnpackedBytes}, {&l.ReaderBytes, &d.ReaderBytes},
		{&l.BodyBytes, &d.BodyBytes}, {&l.KeptBytes, &d.KeptBytes}, {&l.FileBytes, &d.FileBytes}, {&l.DroppedBytes, &d.DroppedBytes},
	} {
		*n.mine = cmp.Or(*n.mine, *n.other)
	}
	for _, n := range []struct{ mine, other *time.Duration }{{&l.Time, &d.Time}, {&l.ReadTime, &d.ReadTime}, {&l.Idle, &d.Idle}} {
		*n.mine = cmp.Or(*n.mine, *n.other)
	}
	return l
}
