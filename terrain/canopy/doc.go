// Package canopy measures what grows on the ground: a first surface, what light or radar
// met first, less the ground under it.
//
// [Growth] lays the surface on the ground's cells and returns heights in metres, with a
// [GrowthReport] that says what they are worth: whether the surface lies on the ground or
// beside it, in other units, over another datum, or is no first surface at all. Heights
// are measured, then doubted, and never mended.
package canopy
