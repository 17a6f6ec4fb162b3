// Package page serves a page on which a planner drops a boundary, or draws one on
// relief, and sees which machine goes where, how many acres, what to bring and
// what to check first; changes limits, costs, staging and no-go; and takes the
// files of the result away. It computes nothing about the ground itself: it calls
// [survey.Prepare] and [survey.MapContext], so that the page and the command line
// give the same bytes for the same input.
//
// # Requests
//
//	GET    /                          the page; its files lie under /static/
//	GET    /v1/start                  fleet, extent of the elevation, formats, files
//	GET    /v1/relief.png             relief of the elevation, a view of it
//	GET    /v1/swatches/{band}    colour and hatching of a band
//	POST   /v1/maps                   a boundary (multipart, part "boundary"): a new map
//	POST   /v1/maps/{id}              [Setting] (JSON): the same ground, judged anew
//	GET    /v1/maps/{id}/ground.png   a view of its zones on relief
//	GET    /v1/maps/{id}/spot         what keeps each machine off a spot
//	GET    /v1/maps/{id}/files/{name} one of [Config.Outputs]
//	DELETE /v1/maps/{id}              forgets it
//
// The two that take long answer with one JSON object on each line: told lines
// ({"step", "done", "total"}) while they work, then the answer or an error. They
// stop when the client hangs up.
//
// # What it guards against
//
// It answers only to the names of the address it listens on (a page elsewhere cannot
// have its own name resolve to it), only to pages of its own origin, and changes
// things only for who has the page's token. What is uploaded is recognised by its
// content, bounded, cleaned (see [Limits]) and read by one driver; XML may declare
// no entities, archives are packed anew from what is needed of them. It lies in a
// folder of its own until it is read and is removed then. Maps stay in memory,
// up to a number and for a time. A fault in one request is answered and logged, and
// harms no other. What it does not guard against is a fault in GDAL's own code that
// ends the process.
package page
