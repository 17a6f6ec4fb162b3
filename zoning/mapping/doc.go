// Package mapping runs the line from ground to a zone map. It reads no file and needs no
// cgo, so that it builds for Windows, macOS and WebAssembly as well.
//
// # What comes in
//
// [NewGround] lays lots and site features on elevation: a [terrain.Elevation] of a grid of
// heights with its sources, lots in WGS84 longitude and latitude, features as package site
// has them. Package read makes a [Ground] from files; who has the values already makes it
// from those, with a frame from any function that gives longitude and latitude
// ([terrain.NewFrame]). [Around] is the ground that elevation has to cover.
//
// A first surface beside the elevation ([Ground.AddSurface]) gives the least height of the
// growth: the greater of that and what is drawn counts. Where neither is known growth
// holds no machine back, and the acres are told. A surface that is bare earth, in another
// unit or of another vertical datum is refused ([ErrSurface]); one that lies off the
// ground is told of and not moved.
//
// # What goes out
//
// [Map] turns ground and fleet into a [zoning.ZoneMap]: zones with their acres, the cells
// they were cut from, hazards, access, and what was assumed, is in doubt and was left out,
// in words. A limit may be changed and the map made again without reading. [Ground.Why]
// says of one spot what each machine may do there and why not. [SlopeJudge] judges a window of
// cells by slope alone, for rasters of any size; [WorthOf] says what an elevation's slopes
// are worth before there are lots.
//
// Packages plan and field go on from ground and map: which machines to bring, and where to
// measure.
//
// # Contexts
//
// [Map] looks at its context between strips of rows, between lots and every 65 536 cells of
// a longer pass, and returns the context's error once its goroutines have ended. It leaves
// the ground fit for the next map.
//
// # Memory
//
// While it is made, a map of the default fleet of four takes some 150 bytes a cell of its
// window, 380 MB for 2.6 million (measured, 1 m cells, all searches of machines' ground at
// once; above 4 million cells one after the other). Ground and map keep some 30 bytes a cell:
// heights, slope and aspect, masks, and one byte for each machine's reasons; staging adds one
// for each machine's crossings, a surface 4.
//
// # Goroutines
//
// Maps may be made of one [Ground] by several goroutines at once, and each uses all
// processors. What maps find in the heights, water and drop-offs, is found once and kept in
// the ground. [Ground.AddSurface] and setting a field want the ground for themselves;
// [Ground.With] gives another that shares what was found. A [zoning.ZoneMap] may be read by
// several at once; nothing here changes it once it is made. Funcs of [Options.Rules] are
// called by several at once. [Progress] is called by whichever
// goroutine gets there, by several at once.
package mapping
