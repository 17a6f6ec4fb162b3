// Package quality tells what makes heights doubtful: water that reads as perfect ground,
// voids that nobody declared, steps, tree tops, feet taken for metres, detail that is not
// there, seams and stripes. Its words are warnings: they change no number. Water is the
// exception, which [Look.Water] gives cell by cell for others to close.
//
// [NewLook] looks at a grid once; [Look.Doubts] asks every [Detector] of [Detectors], and those
// of the caller. [Doubts] and [Water] do both in one step. A grid that cannot be used is an
// error. Grids and looks are not changed and may be shared between goroutines.
//
// Each detector says in its file what it takes for what, from which source its limits
// are, and what it does not catch: ground without doubts may still be wrong.
package quality
