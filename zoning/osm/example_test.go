package osm_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/osm"
)

func ExampleRead() {
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "village.osm")
	text := `<osm version="0.6">
<node id="1" lat="45.0001" lon="0.0090"/><node id="2" lat="45.0001" lon="0.0110"/>
<way id="7"><nd ref="1"/><nd ref="2"/><tag k="power" v="line"/><tag k="voltage" v="115000"/></way>
</osm>`
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		fmt.Println(err)
		return
	}
	lots := orb.Bound{Min: orb.Point{0.009, 45}, Max: orb.Point{0.011, 45.002}}
	x, err := osm.Read(context.Background(), path, osm.Options{Lots: lots})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range x.Features {
		fmt.Println(f.Kind, f.KV, "kV")
	}
	// Output: overhead-line 115 kV
}
