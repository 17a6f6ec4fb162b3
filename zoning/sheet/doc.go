// Package sheet draws what people look at: the picture of a zone map, the table of
// its acres, and the sheet of a job, on paper, as a page and as a map for messages.
//
// All take a [zoning.ZoneMap] as it is and compute nothing about the ground
// again. The same input gives the same bytes.
//
// Pictures and maps lie north up and true to ground scale on a plane tangent at the
// middle of the lots, whatever way the raster lies. Zones differ by colour and
// by hatching, so they may be read by the colour-blind and printed in black and
// white. Colours are those of Okabe and Ito 2008; text keeps the contrast that
// WCAG 2.2 asks for (4.5:1).
//
// # The sheet
//
// A [Page] is a job's sheet: [Page.WriteHTML], [Page.WritePDF] and [Page.WritePNG].
// Words are gathered once, as sections in the order in which a crew reads them; the
// map is drawn once, as shapes of package drawing, and written as SVG, PDF and
// pixels. Sizes are in points, 1/72 inch.
// Where parts of the ground lie so far apart that one map shows them as specks, each has an
// inset at a scale of its own, beside a small map of where they lie.
//
// The worst danger that has a place is also shown from the side, straight down the fall of the
// ground through it and true to scale, with the machine whose ground lies nearest; on paper
// where a page has room. See package section.
//
// On a screen the page also tells where one stands, by the browser's position: which zone,
// its figures, and what else may be meant as far as the position is good; and it takes
// readings at [Page.Checks], keeps them in the browser and saves the table that
// [field.ReadReadings] reads.
//
// Figures are rounded one by one, as in the table: parts may differ from their sum
// by one in the last place. A list too long for three pages of paper is cut short
// there, and says so; cautions never are, and the page on a screen holds all.
//
// # The sheet of many lots
//
// An [Overview] is the sheet of a run of lots, [Overview.WriteHTML]: a map with every
// lot at its place in the colour of what it needs, acres by zone over all lots, the lots
// that need most, and the round of each machine. What a lot needs is the last machine of
// the fleet, in its order, whose ground counts there ([Counts]), and whether some of its
// ground is for no machine or not known.
//
// Lots are drawn one by one into a picture of a fixed size, and lists are cut short, so
// that its memory and its length do not grow with the number of lots, but for a box of
// each. Where lots lie over each other the one that needs most is seen. Lots less than
// three pixels across are drawn that large. Where lots lie so far apart that leaving out
// the empty strips between them makes them three times larger or more, those are left
// out, and the map says how wide they are.
package sheet
