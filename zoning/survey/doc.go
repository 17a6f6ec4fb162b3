// Package survey runs the line from files to a zone map, in two halves.
// [Prepare] does all the reading: boundary and the elevation around it. [Map]
// turns what it returns, the ground, and a fleet into a zone map and reads
// nothing, so that a limit may be changed and the map made again.
//
// From ground and map, [Plan] says what to bring, [CheckGround] is what spots to measure
// are picked on, and [WorkMap] what worked ground is set against.
package survey
