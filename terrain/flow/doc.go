// Package flow finds where water runs and where it may stand: the drainage lines
// and the hollows of a grid of heights.
//
// # Method
//
// Water leaves a cell towards the neighbour of steepest descent, of eight
// (O'Callaghan and Mark 1984, Computer Vision, Graphics, and Image Processing
// 28:323), with distances on the ground: cells need be neither square nor have
// square corners. Of equal descents the first counts, in the order east, south,
// west, north, south-east, south-west, north-west, north-east. Flat ground drains
// to its outlets by the fewest steps.
//
// A basin that has no way out fills to its lowest way out, from outside inwards,
// as by the priority-flood of Barnes, Lehman and Mulla 2014 (Computers &
// Geosciences 62:117): the height to which a cell fills is, over all ways out, the
// least of their highest points. Basins are flooded here rather than cells,
// through the minimum spanning tree of their passes, and water is led out from
// the pit along the bed that leads to the pass (Cordonnier, Bovy and Braun 2019,
// Earth Surface Dynamics 7:549), so that lines keep to beds behind a road bank
// and no epsilon is added to any height. Time is linear in the cells but for the
// rounds of the tree, of which each halves the basins: some 45 ns a cell on one
// core, on lidar.
//
// Water drains out over the border of the window and into voids. Ground beyond
// the border is taken to go on as it comes up from the other side, or false lines
// would gather along it.
//
// The upslope area of a cell is the number of cells whose water runs through it,
// itself among them (Jenson and Domingue 1988, Photogrammetric Engineering and
// Remote Sensing 54:1593), times the cell's area on the ground. Over 10 km of a
// grid in degrees cells change by 0.2 % at 45°, which is left at that.
//
// # What counts
//
// A drainage line is where the upslope area is an acre or more: a planning value.
// Channels begin at areas from a tenth of a hectare on steep ground to tens of
// hectares on gentle ground (Montgomery and Dietrich 1988, Nature 336:232; the
// figures are from memory), so an acre is on the wary side: it marks draws that
// hold no channel yet. On a ridge at 1 m it follows every ravine to its head; two
// acres lose the heads, and at half an acre even fields comb into parallel lines.
// So do smooth slopes where the area is less than 250 cells, to which it is
// raised. Both were chosen on pictures of public rasters.
//
// A hollow is 1 ft deep or deeper and 25 m² or larger, at least 9 cells: what is
// less is within the error of lidar. Common practice, no source.
//
// # What it does not know
//
// The window is finite. What flows in from beyond it is unknown, so every upslope
// area is a least value, and a stream that enters the window is no line until an
// acre of the window drains to it: read some 200 m more around the ground that
// matters. Behind standing water the area gathered before is kept.
//
// Culverts, pipes and bridges are not in a raster. A line over a road bank may run
// through a culvert elsewhere, and a hollow behind the bank may be dry. A line on
// smooth or coarse ground shows a direction, not a bed; a hollow may hold water
// after rain or never. Springs, seeps and ditches narrower than about two cells
// are not seen. On cells of 30 m lines are those of valleys.
//
// # Memory
//
// Besides the grid some 10 bytes a cell, the result's 2 among them: 0.4 GB for 40
// million cells of rough ground. White noise, the worst case, takes 24.
package flow
