// Package bank finds banks and ditches too low or too narrow for slope to show: a bank of 3 ft
// is a slope of 45% over two cells of 1 m, and one of 15% over cells of 3 m.
//
// # How
//
// At a cell the heights of a disc (radius 4, 7 and 10 m on cells of 1, 2 and 3 m) are fitted by
// least squares with a quadratic surface and, along 12 lines through the cell, a step or a trough
// across the line. As the weights of the fit are the same everywhere, the height of the step is one
// weighed sum of the heights. Template matching for scarps: Sare, Hilley and DeLong 2019,
// doi 10.1029/2018JB016886; Hilley et al. 2010.
//
// What the fit leaves gives the height's standard error. Where no bank is, a template still
// finds something: its median over each tile of the raster tells how much, and from that and from
// how much better the fit is than the surface alone every cell has a likelihood of being one of a
// bank. Cells that are the best across their line are strung together; lines that are short, or
// nowhere likely, are left out.
//
// # What it does not find
//
// Banks of less than 18 in and of less than one and a half radii in length; banks near voids and
// the edge of the grid, where no whole disc has heights; walls of a pit or a mound smaller than the
// disc. A face wider than three cells is slope, and seen as such. Of two banks closer than four cells
// the higher is found.
package bank
