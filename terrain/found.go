package terrain

// Found is what a service said of a raster that was found by it. All of it is the service's word.
type Found struct {
	Service   string // key of the service; "" where the raster was named
	Project   string
	Published string // date, as 2006-01-02; "" where it is not told
	Fetched   string // date on which what was read of it was fetched first, in UTC; of a raster named by its address too
}
