// Package write makes files: every file that leaves the program appears whole or not at
// all.
//
// # How files appear
//
// The files of a run are written into a folder of their own beside where they are to be,
// which no one else may enter and whose name no one can guess. When the last is whole all
// are put on the disk, a marker lists them, and each is given its name. The marker is what
// decides: a program or a machine that stops before it leaves the folder as it was, and one
// that stops after it leaves names that the next run in the folder gives. What was there
// under those names is kept beside them until all are given, so that where one cannot be
// the others are taken back.
//
// What a run that was killed left is finished, or taken away, by the next [Begin] in the
// folder. One that is still at work holds a lock, and is let be.
//
// # What it does not do
//
// While names are given, for some milliseconds, a reader may find new files beside old ones.
// On a disk that knows no second name for a file (FAT) nothing can be taken back: an error
// that [ErrPartly] is says so, and the next run gives the names that are missing.
package write
