// Package survey runs the line from files to a zone map, in two halves.
// [Prepare] does all the reading: boundary and the elevation around it. [Map]
// turns what it returns, the ground, and a fleet into a zone map and reads
// nothing, so that a limit may be changed and the map made again.
//
// A first surface beside the elevation gives the least height of the growth
// ([terrain.Growth]): the greater of that and what is drawn counts. Where neither is
// known growth holds no machine back, and the acres are told. A surface that is bare
// earth, in another unit or of another vertical datum is refused ([ErrSurface]); one
// that lies off the ground is told of and not moved.
//
// From ground and map, [Plan] says what to bring, [CheckGround] is what spots to measure
// are picked on, and [WorkMap] what worked ground is set against.
package mapping
