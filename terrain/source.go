package terrain

// Source says what an elevation raster is, and how each thing that matters for
// slope is known. A misread elevation is the error that kills, so nothing here
// is filled in silently: what was not declared is listed in Assumed.
type Source struct {
	Path string // as the user named it
	Cols int
	Rows int

	CRS     string // name, with its authority code where it has one
	CRSFrom string // "declared", or the setting that told it
	Datum   string // of CRS
	Heights string // name of the vertical CRS; "" where none is declared

	Surveyed string // when the ground was measured, as the raster's metadata or the service says that found it; "" where neither does
	Found    Found

	// CellM is the ground size of a cell at the raster's middle, along its
	// rows and along its columns, in metres.
	CellM [2]float64

	Unit      string  // vertical unit: "m", "ft" or "us-ft"; "" where it must be asked
	UnitM     float64 // metres in one vertical unit
	UnitFrom  string  // "band unit", "vertical CRS", "assumed", or the setting that told it
	ValueType string  // type of the stored heights, such as "Float32"
	Scale     float64 // stored value times Scale plus Offset is the height in Unit
	Offset    float64
	NoData    string // declared nodata value as text; "" where none is declared

	Tags     []string // free-text tags that speak of heights; relied on for nothing
	Assumed  []string // what was assumed, in words for people
	Warnings []string // what a reader should know before trusting it
}
