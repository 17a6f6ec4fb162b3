// Package fetch asks servers on the network politely, and keeps what they gave.
//
// A [Client] asks in two ways. [Client.Ask] gets a whole answer, by GET or POST: of a search, a list, an extract.
// [Client.File] gives a file that lies on a server as an [io.ReaderAt], of which only the ranges that are read are fetched.
//
//	client := fetch.New(fetch.Options{Agent: "acreband/1.0", Dir: folder, Allow: []string{listed}})
//	answer, err := client.Ask(ctx, fetch.Question{Method: http.MethodPost, Address: listed, Body: query})
//
// # Kept
//
// With a folder in [Options.Dir] both are kept there: a whole answer under its question, ranges under the address, the size and
// the validator (ETag or date) of the file. What is younger than [Options.Fresh] is taken without asking, so the same job
// gives the same bytes without a network. Offline nothing is asked, whatever its age. The folder is bounded; what was used
// longest ago goes first. Several processes may share it. What is damaged there is fetched again.
//
// # Polite
//
// Requests name the program, go to one host at most four at a time (over all processes that share the folder), and are tried three
// times with growing pauses, or with those that the server asks for by Retry-After. The context given bounds all of that. What a
// server breaks off is tried again, and never kept or returned in part.
//
// # Held
//
// Addresses must be https, and lead to a public address of the internet: that is looked at when a connection is made, so what
// redirects and name servers say is held to it too. Hosts in [Options.Allow], which a user named, may be private and may speak http. A
// proxy of the environment is used; it looks up names then, and of private addresses only those written as numbers are refused.
//
// Errors are an [*Error], which says what was asked and what to do, around what it was: [ErrOffline], [ErrForbidden], [ErrRanges],
// [ErrChanged], [ErrTooLarge], a *[StatusError], or the network's own.
package fetch
