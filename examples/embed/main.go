// Command embed classifies a slice of heights for the built-in fleet, without
// GDAL and without cgo: it prints the zone of every cell.
package main

import (
	"fmt"
	"log"
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/trafficability"
)

// The invented ground: heights in metres, row-major from the north-west, of a
// flat that rises to a bank in the east. One cell was never measured.
var (
	void    = float32(math.NaN())
	heights = []float32{
		210, 210, 211, 214, 217.5, 224, 236,
		210, 210, 211, 214, 217.5, 225, 238,
		210, 210, 212, 215, 218.5, 227, 241,
		210, 211, 212, void, 218.5, 228, 243,
		210, 211, 213, 216, 219.5, 230, 245,
	}
)

const cols, rows, cellM = 7, 5, 10

func main() {
	grid, err := terrain.NewGrid(heights, cols, rows, cellM, cellM)
	if err != nil {
		log.Fatal(err)
	}
	machines := fleet.Default()
	bands := machines.Bands()
	masks := make([]zoning.Mask, cols*rows)
	field, err := slope.Of(grid) // slope of every cell, by Horn 1981
	if err != nil {
		log.Fatal(err)
	}
	if err := trafficability.Stand(field, machines, masks); err != nil {
		log.Fatal(err)
	}

	for i, mask := range masks {
		key := bands[machines.Band(mask)].Key
		if (i+1)%cols == 0 {
			fmt.Println(key)
		} else {
			fmt.Printf("%-15s", key)
		}
	}
}
