package findtest_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/find/findtest"
)

// What a played service lists is found as that of a public one is.
func Example() {
	server := findtest.New()
	defer server.Close()
	server.Products = []findtest.Tile{{Name: "Projects/Made_2019/TIFF/x1.tif", Box: [4]float64{-85, 36, -84, 37}, Published: "2020-01-02"}}
	services, err := find.Parse("made.yaml", server.List())
	if err != nil {
		fmt.Println(err)
		return
	}
	client := fetch.New(find.Held(fetch.Options{}, services))
	found, err := find.Near(context.Background(), client, services[:1], []orb.Bound{{Min: orb.Point{-84.5, 36.5}, Max: orb.Point{-84.4, 36.6}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(found.Tiles[0].Found.Project, found.Tiles[0].Found.Published)
	// Output: Made_2019 2020-01-02
}
