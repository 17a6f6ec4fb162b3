package resume

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// Inputs are what a run is made from, each with a value that differs where it does.
// Runs with equal inputs give equal bytes.
type Inputs []Input

// Input is a setting, a machine or a raster that a run is made from.
type Input struct {
	Name  string `json:"name"`  // in words for people
	Value string `json:"value"` // what is compared
	// Here is compared too where both runs are on one machine: the time a file
	// was changed, which copies do not share.
	Here string `json:"here,omitempty"`
	// Whole is a checksum of all that is in a file, which is compared where both runs have
	// it, and goes before the time: one that was only touched, or copied, is the same.
	Whole string `json:"whole,omitempty"`

	Path string `json:"-"` // of a raster, as it was named
}

// Changes says in words what differs from earlier inputs, nil where nothing does.
func (n Inputs) Changes(from Inputs, sameMachine bool) []string {
	before, now := map[string]Input{}, map[string]bool{}
	for _, i := range from {
		before[i.Name] = i
	}
	var out []string
	for _, i := range n {
		now[i.Name] = true
		was, known := before[i.Name]
		switch {
		case !known:
			out = append(out, fmt.Sprintf("%s is new: %s", i.Name, i.Value))
		case was.Value != i.Value:
			out = append(out, change(i.Name, was.Value, i.Value))
		case was.Whole != "" && i.Whole != "":
			if was.Whole != i.Whole {
				out = append(out, fmt.Sprintf("%s was changed: its checksum was %s, is %s", i.Name, was.Whole, i.Whole))
			}
		case sameMachine && was.Here != i.Here:
			out = append(out, fmt.Sprintf("%s was changed: then %s, now %s (it is too large to be compared whole; if nothing in it was changed, give it its time again: touch -d %s FILE)",
				i.Name, was.Here, i.Here, was.Here))
		}
	}
	for _, i := range from {
		if !now[i.Name] {
			out = append(out, fmt.Sprintf("%s is no longer there: it was %s", i.Name, i.Value))
		}
	}
	return out
}

// change says how a value differs: of a machine, which keys of the fleet file do.
func change(name, was, is string) string {
	var before, now zoning.Machine
	if json.Unmarshal([]byte(was), &before) == nil && json.Unmarshal([]byte(is), &now) == nil {
		if keys := fleet.Changes(before, now); len(keys) > 0 {
			return fmt.Sprintf("%s (%s): %s", name, now.Key, strings.Join(keys, ", "))
		}
	}
	return fmt.Sprintf("%s was %s, is %s", name, was, is)
}

// mostChanges is how many changes a message lists.
const mostChanges = 5

// Listed is a list of changes for a message.
func Listed(changes []string) string {
	more := ""
	if n := len(changes) - mostChanges; n > 0 {
		changes, more = changes[:mostChanges], fmt.Sprintf("; and %d more", n)
	}
	return strings.Join(changes, "; ") + more
}

// OfFleet has an input for each machine.
func OfFleet(fleet zoning.Fleet) (Inputs, error) {
	var out Inputs
	for i, m := range fleet {
		text, err := json.Marshal(m)
		if err != nil {
			return nil, err
		}
		out = append(out, Input{Name: fmt.Sprintf("machine %d of the fleet", i+1), Value: string(text)})
	}
	return out, nil
}

// Raster is a raster that a run rests on.
type Raster struct {
	Path string // as it was named
	Grid any    // where its cells lie, printed by %v
}

// OfRasters has an input for each raster, under the name of what they are: "elevation". One that
// cannot be looked at, such as an address, is known by its name alone. Once the
// context is done its error is returned, within a quarter of a megabyte of what is read.
func OfRasters(ctx context.Context, what string, rasters []Raster) (Inputs, error) {
	var out Inputs
	seen, sums := map[string]int{}, checksums{left: wholeBytes}
	for _, e := range rasters {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		name := what + " " + shortName(e.Path)
		if seen[name]++; seen[name] > 1 {
			name = fmt.Sprintf("%s (%d)", name, seen[name])
		}
		i := Input{Name: name, Value: unread, Path: e.Path}
		if file, info := onDisk(e.Path); info != nil {
			digest, err := sampledDigest(file, info.Size())
			if err != nil {
				return nil, fmt.Errorf("%s: %w", file, err)
			}
			i.Value = fmt.Sprintf("%d bytes, digest %s, cells %v", info.Size(), digest, e.Grid)
			if i.Whole, err = sums.of(ctx, file, info.Size()); err != nil {
				return nil, fmt.Errorf("%s: %w", file, err)
			}
			i.Here = info.ModTime().UTC().Format("2006-01-02T15:04:05.000000000Z")
		}
		out = append(out, i)
	}
	return out, nil
}

// unread is the value of an input that cannot be looked at.
const unread = "unread"

// shortName is a path's last part, or its last two in a zip: on another machine the
// rest may be another.
func shortName(path string) string {
	parts := strings.Split(strings.ReplaceAll(path, "\\", "/"), "/")
	n := 1
	if len(parts) > 1 && strings.HasSuffix(strings.ToLower(parts[len(parts)-2]), ".zip") {
		n = 2
	}
	return strings.Join(parts[len(parts)-n:], "/")
}

// onDisk finds the file of a raster: itself, or the zip that it lies in.
func onDisk(path string) (string, os.FileInfo) {
	if at := strings.Index(strings.ToLower(path), ".zip/"); at >= 0 {
		path = strings.TrimPrefix(path[:at+len(".zip")], "/vsizip/")
	}
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return path, nil
	}
	return path, info
}

// Samples of a file that its digest is made of: a folder of terabytes cannot be
// read through before each run.
const (
	sampleBytes = 4096
	samples     = 16
)

// sampledDigest is a digest of stretches spread evenly over a file, its first and
// last among them.
func sampledDigest(path string, size int64) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	buf := make([]byte, sampleBytes)
	for i := range int64(samples) {
		at := max(0, size-sampleBytes) * i / (samples - 1)
		n, err := f.ReadAt(buf, at)
		if err != nil && !errors.Is(err, io.EOF) {
			return "", err
		}
		h.Write(buf[:n])
	}
	return fmt.Sprintf("%x", h.Sum(nil)[:8]), nil
}
