// Package drawing is a page as shapes, and writes it as SVG, PDF and pixels.
//
// All three come from the same shapes, so what is on paper is what is on the
// screen: paths, lines of text and pictures, each laid over those before it.
//
// # Units
//
// Places and sizes are in points, 1/72 inch, from the upper left corner of the
// page, y down.
//
// # Letters
//
// Text is measured, and written to PDF and pixels, in the Go fonts (Bigelow and
// Holmes, under Go's licence), which hold Latin, Greek and Cyrillic letters; SVG of those
// is set in the reader's own sans serif. Letters beyond them are outlines of the fonts of
// package scripts in all three, with text that is not seen over them in SVG and PDF.
// [Spelled] tells whether the fonts hold a text; a letter beyond all becomes [Missing].
//
// # Bytes
//
// The same shapes give the same bytes: nothing holds a clock, a random name or the
// order of a map.
package drawing
