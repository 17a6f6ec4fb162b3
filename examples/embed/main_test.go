package main

// By hand, Horn 1981 at column 4, row 1: p = (10+2·11+12)/8 = 5.5 m a cell east,
// q = (1+2·1+3)/8 = 0.75 m a cell south, 10 m cells: 55.5%, the crawler's. At
// column 3, row 1: (3.25, 0.5), 32.9%, the boom's. At column 5: (10.25, 1.5), 104%. Below, column 4
// passes the 60% above which the crawler works on a tether only.
func Example() {
	main()
	// Output:
	// track-loader   track-loader   track-loader   boom-head      no-machine     no-machine     no-machine
	// track-loader   track-loader   track-loader   boom-head      no-machine     no-machine     no-machine
	// track-loader   track-loader   track-loader   boom-head      no-machine     no-machine     no-machine
	// track-loader   track-loader   track-loader   no_data        no-machine     no-machine     no-machine
	// track-loader   track-loader   track-loader   boom-head      no-machine     no-machine     no-machine
}
