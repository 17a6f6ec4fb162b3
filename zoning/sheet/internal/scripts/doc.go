// Package scripts sets lines of text in the scripts of the world: it orders them from the
// left, joins and stacks their letters as each script does, and hands back outlines.
//
// Letters that the caller's own font holds are left to the caller wherever they are
// written from left to right; the others are taken from fonts in this package (see
// fonts/README.md). A font is read when the first letter of its script is asked for.
//
// # Order
//
// Lines follow the Unicode bidirectional algorithm (UAX #9), with one rule of their own:
// in a line with letters that run to the right, such as English ones, figures stay where
// that line puts them. An acreage that follows a Hebrew name must not change places with
// the number that ends the name. A line without such letters runs to the left where its
// letters do.
//
// # Units
//
// Places and widths are in parts of the size of the letters, from the left end of the
// baseline, y down.
package scripts
