// Package text sets plain text for terminals and print-outs, and writes figures as people
// read them: lines, folded prose, columns; acres, slopes, shares. Widths count characters. It
// makes file names of other names too, and tables of comma-separated values that a
// spreadsheet runs nothing of.
package text
