// Package child runs work that may end a process in one of its own: a fault in a C
// library, a loop without end or gigabytes of memory then end that one alone.
//
// Parent and child speak over the child's standard input and output in sealed messages:
// length, CRC-32C, payload. [Process] is a child that answers many times, [Ask] one that
// answers once. A child calls [Bound] before it opens what it does not trust; one that
// answers by [Answer] does not outlive its parent.
//
// Memory is bounded by the system on Linux alone. Elsewhere the Go heap is kept small where
// it can be, and what C code takes is held by the limit of time only.
package child
