package raster

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
	"github.com/tidwall/rtree"

	"github.com/acreband/acreband/terrain/setting"
)

// Catalogue is the elevation that may be used: some rasters opened, and
// thousands of which only the place is known until some ground touches them. It
// belongs to one goroutine.
type Catalogue struct {
	Warnings []string

	options Options
	entries []Entry
	opened  map[int]*Raster
	named   []int // entries that were named themselves
	places  rtree.RTreeG[int]
	wide    float64 // degrees of latitude that a wide halo reaches beyond the other

	cache *Cache      // through which rasters are read; nil where there is none
	used  map[int]int // of rasters opened, when each was wanted last; nil keeps all open
	uses  int

	blocks map[int]blocking // of entries; see [Catalogue.SpotOf]

	spare []float32 // memory for the next heights; see [Catalogue.GiveBack]
}

// NewCatalogue looks through what the arguments name, as [Expand]
// takes them. What is named itself is opened, and must be elevation. Of folders
// and patterns only headers are read, several at a time, and kept in an index
// file in the user's cache; what is there but holds no elevation is a warning. An entry of the index serves as
// long as its file, with those beside it, has the same size and time. Once the context is
// done NewCatalogue returns its error, without waiting for a server.
func NewCatalogue(ctx context.Context, args []string, o Options) (*Catalogue, error) {
	c := &Catalogue{options: o, opened: map[int]*Raster{}}
	for _, arg := range args {
		if err := c.add(ctx, arg); err != nil {
			c.Close()
			return nil, err
		}
	}
	for i := range c.entries {
		c.widen(c.entries[i].CellM)
		if c.opened[i] == nil {
			c.insert(i)
		}
	}
	return c, nil
}

// Close closes the rasters that were opened.
func (c *Catalogue) Close() {
	for _, r := range c.opened {
		r.Close()
	}
}

// Entries lists what the catalogue holds, in the order named.
func (c *Catalogue) Entries() []Entry { return slices.Clone(c.entries) }

func (c *Catalogue) add(ctx context.Context, arg string) error {
	f, err := look(ctx, arg, c.options.Named)
	if err != nil {
		return err
	}
	for _, name := range f.rasters {
		r, err := Open(ctx, name, c.options)
		if err != nil {
			return err
		}
		c.opened[len(c.entries)] = r
		c.named = append(c.named, len(c.entries))
		c.entries = append(c.entries, r.entry())
	}
	for _, t := range f.tiles {
		if !c.options.AllowRemote && onNetwork.MatchString(t.path) {
			return fmt.Errorf("%s: %w: it lists %s; say %s if that may be asked, or download its tiles and list their paths", arg, ErrRemote, t.path, setting.Name("allow-remote"))
		}
		c.entries = append(c.entries, Entry{Path: t.path, Rim: t.rim})
	}
	if len(f.files) > 0 {
		return c.addFiles(ctx, arg, f)
	}
	return nil
}

// entry is what a catalogue keeps of an open raster.
func (r *Raster) entry() Entry {
	e := Entry{Path: r.Source.Path, Cols: r.Source.Cols, Rows: r.Source.Rows, CRS: r.ds.Projection(), Grid: r.grid, CellM: r.Source.CellM, Surveyed: r.Source.Surveyed}
	if rim, err := r.Locate(rimOf(0, 0, float64(e.Cols), float64(e.Rows))); err == nil {
		e.Rim = rim
	}
	return e
}

// addFiles adds the files of a folder or a pattern, by its index.
func (c *Catalogue) addFiles(ctx context.Context, arg string, f found) error {
	records, warnings := indexed(ctx, f, c.options)
	if err := ctx.Err(); err != nil {
		return err
	}
	c.Warnings = append(c.Warnings, warnings...)
	var entries, refused []Entry
	for _, file := range f.files {
		path := file.path()
		for _, e := range records[file.rel].entries {
			e.Bytes, e.ModTime = file.size, file.modTime
			if e.Path = path + e.Path; e.Refused == "" {
				entries = append(entries, e)
			} else {
				refused = append(refused, e)
			}
		}
	}
	if c.options.CRS != "" {
		inParallel(ctx, len(entries), c.options, func(h *headers, i int) { entries[i].locate(h) })
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	usable := slices.DeleteFunc(entries, func(e Entry) bool {
		if len(e.Rim) > 0 {
			return false
		}
		e.Refused = "nothing tells where it lies; if it declares no CRS, name it with " + c.options.flag("crs")
		refused = append(refused, e)
		return true
	})
	if len(usable) == 0 {
		return fmt.Errorf("%s: none of its %d rasters can be used; %s: %s", arg, len(refused), refused[0].Path, refused[0].Refused)
	}
	c.entries = append(c.entries, usable...)
	if len(refused) > 0 {
		c.Warnings = append(c.Warnings, fmt.Sprintf("%s: left out as no elevation: %d of %d rasters, %s",
			arg, len(refused), len(refused)+len(usable), leftOut(refused)))
	}
	return nil
}

// leftOut names rasters with the reason of each.
func leftOut(refused []Entry) string {
	const most = 5
	var out []string
	for _, e := range refused[:min(most, len(refused))] {
		out = append(out, e.Path+": "+e.Refused)
	}
	return "such as " + strings.Join(out, "; ")
}

// indexed finds a record for every file: the index's where the file has not
// changed, else from the headers in it. The index is written anew where it
// changed.
func indexed(ctx context.Context, f found, o Options) (map[string]record, []string) {
	if o.NoData != nil { // what holds no elevation is another question then, and the index is not of it
		return withoutIndex(ctx, f, o), nil
	}
	old := readIndex(f.folder)
	records := make(map[string]record, len(f.files))
	var stale []int
	for i, file := range f.files {
		r, ok := old[file.rel]
		if ok && r.size == file.size && r.modTime == file.modTime && !r.failed() {
			records[file.rel] = r
			continue
		}
		stale = append(stale, i)
	}
	if len(stale) == 0 && (!f.whole || len(records) == len(old)) {
		return records, nil
	}
	fresh := make([]record, len(stale))
	inParallel(ctx, len(stale), Options{AllowRemote: o.AllowRemote, Fetch: o.Fetch}, func(h *headers, i int) { fresh[i] = h.record(ctx, f.files[stale[i]]) })
	if ctx.Err() != nil {
		return nil, nil // what was not read must not be kept
	}
	for i, k := range stale {
		records[f.files[k].rel] = fresh[i]
	}
	kept := make(map[string]record, len(records))
	if !f.whole {
		for name, r := range old {
			kept[name] = r
		}
	}
	for name, r := range records {
		kept[name] = r
	}
	names := make([]string, 0, len(kept))
	for name := range kept {
		names = append(names, name)
	}
	slices.Sort(names)
	if err := writeIndex(f.folder, names, kept); err != nil {
		return records, []string{fmt.Sprintf("%s: its index cannot be kept, so its headers are read again next time: %v", f.folder, err)}
	}
	return records, nil
}

// withoutIndex reads the header of every file.
func withoutIndex(ctx context.Context, f found, o Options) map[string]record {
	fresh := make([]record, len(f.files))
	inParallel(ctx, len(fresh), Options{AllowRemote: o.AllowRemote, Fetch: o.Fetch, NoData: o.NoData}, func(h *headers, i int) { fresh[i] = h.record(ctx, f.files[i]) })
	records := make(map[string]record, len(fresh))
	for i, file := range f.files {
		records[file.rel] = fresh[i]
	}
	return records
}

// record reads the headers in a file.
func (h *headers) record(ctx context.Context, f file) record {
	r := record{size: f.size, modTime: f.modTime}
	names, err := f.rasters()
	if err != nil {
		r.entries = []Entry{{Refused: err.Error()}}
		return r
	}
	for _, name := range names {
		e := h.read(ctx, name)
		e.Path = strings.TrimPrefix(e.Path, f.path())
		r.entries = append(r.entries, e)
	}
	return r
}

// Around opens the rasters that [Catalogue.Near] lists.
func (c *Catalogue) Around(ctx context.Context, ground orb.MultiPolygon) ([]*Raster, error) {
	return c.open(ctx, c.Near(ground))
}

// AroundUpTo is [Catalogue.Around], wide that of [Catalogue.AroundWide], without entries above a rank.
func (c *Catalogue) AroundUpTo(ctx context.Context, ground orb.MultiPolygon, rank int, wide bool) ([]*Raster, error) {
	near := c.Near
	if wide {
		near = c.NearWide
	}
	return c.open(ctx, slices.DeleteFunc(near(ground), func(i int) bool { return c.entries[i].Rank > rank }))
}

// AroundWide opens the rasters that [Catalogue.NearWide] lists.
func (c *Catalogue) AroundWide(ctx context.Context, ground orb.MultiPolygon) ([]*Raster, error) {
	return c.open(ctx, c.NearWide(ground))
}

func (c *Catalogue) open(ctx context.Context, entries []int) ([]*Raster, error) {
	var out []*Raster
	for _, i := range entries {
		r := c.opened[i]
		if r == nil {
			var err error
			e, o := &c.entries[i], c.options
			look := open // listed by its header, and looked at then
			if e.Cols == 0 {
				look = Open
			}
			o.found = e.Found.Service != ""
			if r, err = look(ctx, e.Path, o); err != nil {
				return nil, err
			}
			r.tell(e)
			c.opened[i] = r
			if c.cache != nil {
				r.readThrough(c.cache)
			}
		}
		if c.used != nil {
			c.uses++
			c.used[i] = c.uses
		}
		out = append(out, r)
	}
	c.closeOld(len(out))
	return out, nil
}

// Nearest is the raster nearest to a spot by its rim: its path, its middle, and
// how far it is in kilometres on a sphere.
func (c *Catalogue) Nearest(spot orb.Point) (path string, middle orb.Point, km float64) {
	best, km := -1, math.Inf(1)
	for i, e := range c.entries {
		for _, p := range e.Rim {
			if d := geo.DistanceHaversine(spot, p) / 1000; best < 0 || d < km {
				best, km = i, d
			}
		}
	}
	if best < 0 {
		return "", orb.Point{}, km
	}
	if r := c.opened[best]; r != nil {
		return r.Source.Path, r.Middle(), min(km, r.DistanceKM(spot))
	}
	e := c.entries[best]
	lo, hi := boxOf(e.Rim)
	return e.Path, orb.Point{math.Remainder((lo[0]+hi[0])/2, 360), (lo[1] + hi[1]) / 2}, km
}
