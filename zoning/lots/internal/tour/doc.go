// Package tour puts places in an order in which all are visited with little driving
// between, and says how far from the least that may be.
//
// The round begins with the nearest place each time, and is then improved by turning
// stretches of it round (2-opt, Croes 1958) and by moving up to three places elsewhere
// (Or-opt, Or 1976) until neither helps, each looked for among near neighbours,
// some in every quadrant. Of up to [MostBounded] places it is then shaken, by chance from
// a fixed seed, and improved again. No round is shorter than its bound: of up to
// [MostBounded] places the least 1-tree with weights on places (Held and Karp 1970, 1971;
// steps by Held, Wolfe and Crowder 1974), of more half the way from every place to its
// two nearest.
//
// Ways are straight, on a plane laid through the middle of the places: good to a
// thousandth over 100 km. Roads are longer.
package tour
