// Package relief draws ground: [Shade] lights it, [Contours] finds lines of equal height,
// and [ChooseContourInterval] how far apart they may lie. Nothing is decided from what it
// returns.
package relief
