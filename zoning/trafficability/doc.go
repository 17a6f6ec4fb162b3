// Package trafficability finds where each machine of a fleet may work.
//
// # How a cell is decided
//
// [Find] asks for each machine, on all ground that it is shown, and the first rule that
// keeps the machine off is the cell's [zoning.Why]:
//
//   - of the cell alone: closed, in a setback, not measured, too steep, too great a step
//     or too rough, too soft, too much growth, or trees that production leaves; too steep without
//     the tether, where none reaches; or no heading on which the slope across is allowed;
//   - of its surroundings: near a drop-off, too narrow, too far from where it can turn,
//     only to be got to across the slope, no way in from where it is unloaded;
//   - then a boom reaches on from where the machine may stand.
//
// Machines on a tether come last, for they hang on others that have to be there first.
// In the end each cell's mask holds the machines that work it, and pieces too small to
// move a machine to go to the next that may work them.
//
// [Stand] asks slope, step and roughness only, and [Firm] step and roughness only.
package trafficability
