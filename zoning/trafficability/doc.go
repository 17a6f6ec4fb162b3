// Package trafficability finds where each machine of a fleet may work, and why not elsewhere.
//
// # How a cell is decided
//
// [Find] asks its rules for each machine on all ground that it is shown. The first rule that
// keeps the machine off gives the cell its reason, a [zoning.Why]. In the pictures . is
// ground that the machine works, x ground that the rule takes, # ground that another took
// before, and m the middle of the machine.
//
// The cell alone, see [Rule]: closed, in a setback, not measured, too steep, too great a
// step or too rough, too soft, too much growth, trees that production leaves, and then the
// rules that [Ground.Rules] adds. Slope is that of the [slope.Field]: of the plane under a
// footprint, or of 3 × 3 cells. The step is the greatest between neighbouring cells once that
// plane is taken off, so that a slope by itself is none.
//
// Heading. With a slope of G and a heading θ off the fall line, G·cos θ lies along the
// machine and G·sin θ across it. A cell admits those of eight headings, driven either way,
// that keep the slope across within its limit; one that admits none is taken.
//
//	fall line ↓     30%, 15% across: within 30° of the fall line
//	  \  |  /       \ | / admitted
//	 ──  m  ──      ── not
//
// On ground that it works on a tether only, a machine keeps to the headings along the fall
// line, 27° off it at most.
//
// Drop-offs, see [DropOffs]: 100% from one cell to the next and 3 ft in all, or more. Ground on
// the upper side is taken that is nearer to the edge than the machine is long, or than the
// drop is high.
//
//	. . . . x x x E        E the edge, cells of 1 m, a machine of 3 m:
//	              |        2 m away is nearer, 3 m is not
//	              |_____
//
// Crests: where the ground falls on steeper than the machine may drive for 10 ft or more, the
// machine keeps back by its length (crest in fleet files) from where slope passes its
// limit. That is a point between two cells, not one of them. The fall is followed straight
// down from there; it counts as far as it is as steep on the whole, short ledges in it.
// What is less high, or gentler, is no crest, and a hill's height moves nothing.
//
//	. . . . x x x|__ 30%
//	              \__           a limit of 30%, a face of 50%
//	                 \__ 50%
//
// Width: the middle of the machine keeps half its width and a foot from the side of every
// cell that it may not be on. Ground beyond what may be driven on (the lots, travel ground) is
// such ground, known or not.
//
//	# . . . . #      8 ft between: a machine of 7 ft does not fit, for want of
//	# x x m x #      a foot on either side
//
// Turning puts the whole slope across the machine, in the whole disc round its middle whose
// radius is half its diagonal. It turns where all of that disc is within its limit across,
// and may be driven on; ground beyond the parcel never serves.
//
//	 . . .
//	. . . .       half of √(width² + length²) from m to the side of
//	. . m . .     the nearest cell that is steeper
//	. . . .
//
// A run leads from ground where it turns over ground where it does not, by moves to the
// eight neighbours and as a knight's, each judged by its own heading. All of it counts that
// lies on steeper ground, oblique moves too, to run at most; beyond that, ground is taken.
//
//	. . . |↓ ↓ ↓ ↓ ↓ x x      gentle | steeper than across allows: 200 ft of it
//
// The way in: what moves from a staging lead to is got to. What is got to only if the
// slope across is left out says so ("cross slope"), all else has no way in. Without
// staging that is not asked, and pieces are listed.
//
//	S . . . # x x x      S the staging, # in the way
//
// A boom reaches on from its places: where its middle gets to, all cells in the disc in which
// it would turn are within its standing limits on one heading that serves on all of them, so
// that no single cell that reads gentle is a place. A place keeps back from the edge of faces
// too steep to stand by themselves (67%) by its length, or the face's height up to 1.5
// lengths. The boom works what lies within its reach, height counted, on a face up to its
// limits up and down. Its middle keeps back from crests as above, and it works over them.
//
//	. . m . . |.            the middle 12 ft from the crest, a reach of 20 ft
//	           \.
//	            \x
//
// Patches, in the end, in fleet order: of the ground that goes to a machine first, pieces
// (joined by sides of cells) smaller than its patch go to the next that may work them; then
// pieces of all that it may work by itself, whoever comes before it. Cells count whose
// middles lie in a lot.
//
//	. . . # x x      the right piece is too small, the left is not
//	. . . # # #
//
// Machines on a tether are asked last: they depend on the machine that holds the tether. In
// the end each cell's mask holds the machines that work it.
//
// [Stand] asks slope, step and roughness only, and [Firm] step and roughness only.
//
// # What is not known
//
// A cell without elevation is nobody's. Growth, stems and bearing that are not known keep no
// machine off. Where the fall line is not known the whole slope counts as lying across. Ties
// go to the steeper side, by [zoning.TieRise].
//
// # Units
//
// Distances and heights are in meters, horizontal unless said otherwise; slopes in percent;
// pressures in kPa. Cells are numbered row by row from the north-west.
//
// # Errors and contexts
//
// Every func returns an error for ground and fleets that it cannot use, before any work
// ([Ground.Check]). [Find] and [DropOffs] end soon after their context, with its error: each
// of their goroutines looks at it every 65 536 cells. A panic of a rule's func reaches the
// caller.
package trafficability
