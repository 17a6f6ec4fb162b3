// Package palette holds the colours of zones: told apart with any common form of
// colour blindness, in grey, and on relief.
package palette
