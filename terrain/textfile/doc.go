// Package textfile holds text from strangers to limits before anything parses it: how
// large a file is, how many tokens stand in it, and how deep they nest. A parser may take
// a thousand bytes of memory for one of text; 200 kB of open brackets took 3.7 GB.
//
// Files are read no further than one byte beyond their limit, and looking at tokens takes
// a fixed amount of memory and one pass. What is found is no judgement of whether the text
// is sound: that is the parser's.
//
// Errors are [*TooMuch], which says what there is too much of, and on which line.
package textfile
