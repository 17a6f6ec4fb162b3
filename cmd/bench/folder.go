package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
)

// folderRounds is the most rounds of this race, the first of them not counted.
const folderRounds = 7

// folderRuns races a folder of tiles, once indexed, with the right tiles of it
// named by hand, and says whether a goal is missed.
func folderRuns(out io.Writer, dir string, j job, rounds int) (missed bool, err error) {
	in := func(name string) string { return filepath.Join(dir, name) }
	mapped := func(outDir string) []string {
		return []string{in("acreband"), "map", "--slope-scale", "cell", "--slope-only", "--write", "geojson,png", "--parcel", j.parcel, "--out", in(outDir)}
	}
	names := tilesOf(j.Window)
	e := &contender{name: "E  acreband map, the folder", args: append(mapped("e"), "--elevation", tilesIn(dir))}
	f := &contender{name: fmt.Sprintf("F  acreband map, its %d tiles by hand", len(names)), args: mapped("f")}
	for _, name := range names {
		f.args = append(f.args, "--elevation", filepath.Join(tilesIn(dir), name))
	}
	first := &contender{name: e.name, args: e.args}
	if err := first.run(true); err != nil {
		return false, err
	}
	rounds = min(rounds, folderRounds)
	if err := race(rounds, []*contender{e, f}); err != nil {
		return false, err
	}
	fmt.Fprintf(out, "An indexed folder of %d tiles of %d × %d cells, the same 45 acres, %d rounds side by side%s\n",
		tilesSide*tilesSide, tileSize, tileSize, rounds-1, load())
	fmt.Fprintf(out, "  the first run, which indexes what is not indexed yet, took %.1f s\n", first.wall[0].Seconds())
	table(out, e, f)
	over := goal{"E over F", ratio(e.wall, f.wall), "at most", mostOverByHand, ""}
	fmt.Fprintln(out, " ", over)
	same, how, err := sameZones(in("e/zones.geojson"), in("f/zones.geojson"))
	if err != nil {
		return false, err
	}
	verdict := "FAIL"
	if same {
		verdict = "PASS"
	}
	fmt.Fprintf(out, "  E's and F's zones: %s   %s   goal: the same\n", how, verdict)
	return !over.met() || !same, nil
}

// table tells what the runs of contenders took.
func table(out io.Writer, contenders ...*contender) {
	fmt.Fprintf(out, "  %-38s %9s %9s %9s %9s\n", "", "median ms", "least ms", "CPU ms", "peak MB")
	for _, k := range contenders {
		fmt.Fprintf(out, "  %-38s %9.1f %9.1f %9.1f %9.1f\n", k.name, ms(median(k.wall)), ms(slices.Min(k.wall)), ms(median(k.cpu)), megabytes(k.peakBytes))
	}
}

// sameZones says whether two products hold the same zones. Their summaries may
// tell different paths.
func sameZones(a, b string) (same bool, how string, err error) {
	x, errX := os.ReadFile(a)
	y, errY := os.ReadFile(b)
	if err := errors.Join(errX, errY); err != nil {
		return false, "", err
	}
	if bytes.Equal(x, y) {
		return true, "the files are equal, byte for byte", nil
	}
	var p, q struct{ Features []json.RawMessage }
	if err := json.Unmarshal(x, &p); err != nil {
		return false, "", fmt.Errorf("%s: %w", a, err)
	}
	if err := json.Unmarshal(y, &q); err != nil {
		return false, "", fmt.Errorf("%s: %w", b, err)
	}
	if len(p.Features) == 0 || len(p.Features) != len(q.Features) {
		return false, fmt.Sprintf("%d and %d features", len(p.Features), len(q.Features)), nil
	}
	for i := range p.Features {
		if !bytes.Equal(p.Features[i], q.Features[i]) {
			return false, fmt.Sprintf("feature %d of %d differs", i+1, len(p.Features)), nil
		}
	}
	return true, "the features are equal, byte for byte; the summaries differ", nil
}
