// Package trafficability finds where each machine of a fleet may work, and why not elsewhere.
//
// # How a cell is decided
//
// [Find] asks its rules for each machine on all ground that it is shown. The first rule that
// keeps the machine off gives the cell its reason, a [zoning.Why]:
//
//   - rules of the cell alone ([Rule]): closed, in a setback, not measured, too steep, too
//     great a step or too rough, too soft, too much growth, trees that production leaves, and
//     then those that [Ground.Rules] adds; after them too steep where no tether reaches, and no
//     heading on which the slope across is allowed;
//   - rules of its surroundings: near a drop-off, too narrow, too far from where the machine
//     can turn, to be reached across the slope only, no way in from where it is unloaded;
//   - then a boom reaches on from where the machine may stand.
//
// Machines on a tether are asked last: they depend on the machine that holds the tether. In
// the end each cell's mask holds the machines that work it. A piece too small to move a
// machine to goes to the next machine that may work it.
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
