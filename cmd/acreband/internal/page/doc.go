// Package page serves a page on which a planner drops a boundary, or draws one on
// relief, and sees which crew to bring, at what price, and what it leaves, which machine
// goes where, how many acres and what to check first; changes the crew, its terms, limits,
// costs, staging, no-go and the view; and takes the files of the result away. It computes nothing about the ground itself: it calls
// [read.Prepare] and [mapping.Map], so that the page and the command line
// give the same bytes for the same input.
//
// # Requests
//
//	GET    /                          the page; its files lie under /static/
//	GET    /v1/start                  fleet, extent of the elevation, formats, files
//	GET    /v1/relief.png             relief of the elevation, a view of it
//	GET    /v1/swatches/{band}    colour and hatching of a band
//	POST   /v1/files                  whatever was dropped (multipart, part "file"): what it is
//	DELETE /v1/files/{id}             forgets it
//	GET    /v1/files/{id}/start       where it lies, where it is elevation
//	GET    /v1/files/{id}/relief.png  a view of it
//	GET    /v1/files/{id}/above/{id}  which of two lies above the other, as trees do
//	POST   /v1/maps                   boundaries (multipart, part "boundary"): a new map
//	POST   /v1/maps/{id}              [Setting] (JSON): the same ground, judged anew
//	GET    /v1/maps/{id}/ground.png   a view of its zones on relief
//	GET    /v1/maps/{id}/spot         what keeps each machine off a spot
//	GET    /v1/maps/{id}/section      the ground along a line: heights, slopes, zones, hazards
//	GET    /v1/maps/{id}/lines        contours, and roads and water of the site, in a view
//	GET    /v1/maps/{id}/curve        acres of a machine against one of its limits
//	GET    /v1/maps/{id}/covers       price of each class of cover
//	GET    /v1/maps/{id}/files/{name} one of [Config.Outputs]
//	DELETE /v1/maps/{id}              forgets it
//
// The two that take long answer with one JSON object on each line: told lines
// ({"step", "done", "total"}) while they work, then the answer or an error. They
// stop when the client hangs up.
//
// # Units
//
// A map is told in US or metric units, as its [Setting] says, a new one as the part "units" of its
// request does, and where neither says as the server was started ([Config.Judge]). All words of an answer and all files
// are in these; so are plain numbers that a setting has, and errors. What was said of a boundary when it was read is kept in both.
// The browser draws a few things itself, such as the bar of scale: /v1/start tells it how large its units are.
//
// # What it guards against
//
// It answers only to the names of the address it listens on (a page elsewhere cannot
// have its own name resolve to it), only to pages of its own origin, and changes
// things only for who has the page's token; beyond this machine it answers only to
// who has opened the address with the key, see [Server.Address]. What it says names no
// folder of this machine.
//
// Elevation, surfaces and site files that are dropped are kept on disk, so many bytes and for a
// time, until they are removed, their page is left, or the server ends. What is kept of a raster
// is a copy, a plain GeoTIFF of its heights that the reader wrote: only that is opened in the
// server's own process.
//
// What is uploaded is bounded, see [Limits], and lies on disk until a process of its own
// has read it ([ServeReader]): recognised by its content, cleaned, and read by one
// driver; XML may declare no entities, archives are packed anew from what is needed of them. That
// process has bounds of memory and of time, so that a fault in C code, a loop without end or
// gigabytes end one request with a message and leave no file. On systems other than Linux
// memory is not bounded there, only time. A fault in one request is answered and logged, and harms no
// other.
//
// # How much memory it takes
//
// No more than [Limits.MemoryBytes]. Bodies are admitted before they are kept, and are
// kept on disk; so are files until they are taken away. Maps are kept up to a number, for a time, and by the bytes of all
// their layers, ground beyond the lots too; those unused longest make room. The cells of
// all maps that are being made are bounded together: others wait. Elevation is the
// server's own, or a copy as told above, and is read in its process.
package page
