// Package measure tells people areas, lengths, weights, pressures and prices in the units
// that they work in: US customary or metric. Figures are held in acres, meters, kilograms and
// kilopascals everywhere else, whatever they are told in; this is the one place where they
// become others.
//
// [Units] is a value that travels with what is told, such as a zone map: a server tells one
// person in acres and the next in hectares.
package measure
