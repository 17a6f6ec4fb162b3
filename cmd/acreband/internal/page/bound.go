package page

// Shares of the bound of a server's memory that no limit sets: measured, with some to
// spare.
const (
	// ownBytes are the program, its libraries, GDAL's block cache, what the C library keeps
	// of freed memory, and views that are painted.
	ownBytes = 400 << 20
	// cellBytes are for each cell of a map that is being made, with every rule, dry and
	// wet, before what is only needed meanwhile is freed.
	cellBytes = 100
	// connectionBytes are the buffers, headers and answer of a connection.
	connectionBytes = 2 << 20
)

// MemoryBytes is the most memory that a server within these limits takes: its own, the
// maps it keeps, those it makes, its connections, and the shapes of files that were dropped. Bodies of requests and files that are taken
// away lie on disk, in the folder for temporary files; so do those files, no more than DroppedBytes of them. Each of at most Workers readers, which are processes of their own,
// takes ReaderBytes beside.
func (l Limits) MemoryBytes() int64 {
	return ownBytes + l.KeptBytes + int64(l.Cells)*cellBytes + int64(l.Connections)*connectionBytes + int64(l.Dropped)*mostFeatureBytes
}
