// Package sheet draws what people look at: the picture of a zone map, and the
// table of its acres.
//
// Both take a [zoning.ZoneMap] as it is and compute nothing about the ground
// again. The same input gives the same bytes.
//
// The picture lies north up and true to ground scale on a plane tangent at the
// middle of its lots, whatever way the raster lies. Zones differ by colour and
// by hatching, so it may be read by the colour-blind and printed in black and
// white. Colours are those of Okabe and Ito 2008; text keeps the contrast that
// WCAG 2.2 asks for (4.5:1).
package sheet
