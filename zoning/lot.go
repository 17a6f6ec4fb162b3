package zoning

// Lot is one parcel of a file.
type Lot struct {
	Parcel

	// Place counts the lots of the file from 1. Points and lines beside them
	// are not counted, but tracks and routes that do not close are.
	Place int

	// Unnamed says that the file gives it no name, so that it is called by its
	// place. SameName is the place of the first lot of the file with the same
	// name, 0 for that first one.
	Unnamed  bool
	SameName int

	// SameGround is the place of the first lot of the file with the same ground, as
	// the units of a building have; 0 for that first one. Grounds are the same
	// whose corners are, to the last digit, wherever they begin.
	SameGround int

	// Repair is what was done to a boundary that was not in order, or why it was refused.
	Repair Repair

	// Notes says in words what was repaired, left out or assumed. What concerns
	// the whole file is said once: of its CRS with the first lot, of features
	// left out with the last.
	Notes []string

	// Err is why this lot cannot be used; Ground is empty then. It names the
	// file and the lot.
	Err error
}
