// Package progress sets worked ground against a zone map: acres done by zone, what
// is left, the rate against the plan, and the rates to write back into the fleet
// file.
//
// Worked ground comes as polygons, or as tracks with the cutting width of the
// machine ([ReadWorked]); hours with it, or in a table of their own ([ReadHours]).
// [Tally] counts.
//
// # How acres are counted
//
// On the cells of the map: a cell is done where its middle lies in a polygon, or
// within half the cutting width of a track. It is done once, on the first day that
// any machine worked it; on one day by the first in the file. A zone's acres are
// shared out over its cells, so that done and left are the zone's acres. A track
// counts all ground driven as cut, with the head up too, and stretches without a fix
// for more than [MaxGapM] not at all.
//
// # Units
//
// Acres, hours, acres an hour. Hours are those of the machine on the job, as its
// owner counts them: rates come out in the same.
package progress
