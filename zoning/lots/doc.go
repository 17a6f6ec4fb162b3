// Package lots maps many lots, a subdivision or a county, and loses nothing on the
// way.
//
// # How a run goes
//
// One process looks after the run and touches neither GDAL nor PROJ. It has others
// started: first a reader, which goes through the boundary file and hands over lot
// after lot, then workers, which are given one lot at a time and send its zones
// back. A fault in a C library ends a process, not the run: the lot that was being
// worked is tried alone in a new one, and set aside with its reason when that dies
// too. So is one that takes longer than [Config.Limit], and one at which two readers died.
//
// Lots are worked in the order of the elevation they touch, rasters along a Hilbert
// curve and the blocks of each to and fro in strips, so that a worker's block cache
// decodes each block about once.
// Neither that order nor the number of workers shows in what is written.
//
// # What a lot's map is
//
// A lot's zones are, to the byte, those that [read.Prepare] and [mapping.Map] give
// when the lot is alone in its file. A first surface is laid against the ground of that
// lot's window alone: a lot that it does not reach, or whose window shows bare earth,
// fails, as the map would. Water and doubtful elevation are therefore
// looked for in the window of elevation around that lot and not beyond. Where flat
// ground runs off that window a wider one is read, see [raster.ReadWide], so that a
// pond is closed of which a corner lies on the lot. Not known are still the end of a
// pond or canal less than 10 m wide, and water on rasters whose heights come in whole
// metres or feet, of which ten acres must show. Ground beside water wants a look
// whatever the map says.
//
// After a lot's zones stand the hazards found around it. Those are each lot's own:
// what lies between two lots is told with both.
//
// # The sheet of a run
//
// sheet.html is the [sheet.Overview] of the lots. It is drawn from a coarse outline of
// each, off by at most a thousandth of its size, which its record keeps beside its
// features; of a lot that failed it is that of its boundary, where it could be read.
//
// # What is kept
//
// Finished lots are appended to a journal in the output folder and flushed to disk
// every second. Each record has a checksum; what was cut off in the middle is worked
// again. A journal knows by what it was made: see [resume.Inputs], and a digest of each lot. Starting
// again with the same inputs goes on where it stopped, with others is refused. A lot that could
// not be read has no digest, and can be read later. A journal is told in the units of the run that began it, and
// is gone on with and merged in those alone. Where the disk is full the run ends, and
// lots at work have no record. Outputs are made from the journal at the end, in the order of the
// file, and appear together: see package write.
//
// With N shards, each run does a contiguous part of the order and leaves its journal;
// [Merge] makes the outputs from all of them, with the bytes of one run. In a folder that
// shards share the first keeps what it read of the boundary file, reading-….journal, and
// the others take from it an index of all lots and the ground of their own. It is known by
// the program, the settings of reading and the sizes and times of the files; where those
// differ, or elevation is not named as files and folders, a shard reads the file itself.
package lots
