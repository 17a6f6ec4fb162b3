// Package resume tells whether a run that starts again may go on from what an earlier one left.
//
// What a run rests on are its [Inputs]: settings, machines and rasters, each with a value that differs
// where it does. They are written beside what was done; [Inputs.Changes] says in words what is another
// now, and [Inputs.Overwritten] which rasters were changed while a run was at work with them.
package resume
