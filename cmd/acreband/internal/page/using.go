package page

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// Use is a file that was dropped, and what it is to the map.
type Use struct {
	ID   string `json:"id"`
	Role string `json:"role"` // ground, surface, site, staging, travel, or as: and a kind of a site
}

// beside is what is known of the ground from files that were dropped.
type beside struct {
	key             string   // the same for the same files, told in the same units
	ground, surface []string // rasters; without ground the server's is read
	unit            string   // of heights of the ground that do not say it themselves
	surfaceUnit     string
	names           []string // of site files, and what each holds
	sites           [][]site.Feature
	features        []site.Feature // all of them, and staging and travel
	told            measure.Units  // that what is said of them is in
}

// mostFeatureBytes is the most memory that the features of a file take.
const mostFeatureBytes = 2 << 20

// use reads the files that a setting names. They are kept until done is called.
func (s *Server) use(ctx context.Context, uses []Use, told measure.Units) (b beside, done func(), err error) {
	b.told, b.key = told, told.String()+"\n"
	var ends []func()
	done = func() {
		for _, end := range ends {
			end()
		}
	}
	for _, u := range uses {
		d, end, err := s.tray.use(u.ID)
		if err != nil {
			done()
			return b, nil, err
		}
		ends = append(ends, end)
		if err := s.useAs(ctx, &b, d, u.Role); err != nil {
			done()
			return b, nil, err
		}
		b.key += u.ID + " " + u.Role + "\n"
	}
	return b, done, nil
}

func (s *Server) useAs(ctx context.Context, b *beside, d *dropped, role string) error {
	path := filepath.Join(d.folder, d.seen.Name)
	if !d.takes(role) {
		return refuse(http.StatusUnprocessableEntity, "%s cannot be taken as %s", d.seen.Name, role)
	}
	switch role {
	case asGround, asSurface:
		paths, unit := &b.ground, &b.unit
		if role == asSurface {
			paths, unit = &b.surface, &b.surfaceUnit
		}
		if len(*paths) > 0 && *unit != d.unit {
			return refuse(http.StatusUnprocessableEntity,
				"%s and %s are to be read together, and the unit of heights was given for one of them: load the other again and give it too, or leave one out", filepath.Base((*paths)[0]), d.seen.Name)
		}
		*paths, *unit = append(*paths, path), d.unit
		return nil
	case asBoundary:
		return refuse(http.StatusUnprocessableEntity, "%s is a boundary: open it as one", d.seen.Name)
	}
	features, err := s.featuresOf(ctx, d, role, b.told)
	if err != nil {
		return err
	}
	if role == asSite || strings.HasPrefix(role, asKind) {
		b.names, b.sites = append(b.names, d.seen.Name), append(b.sites, features)
	}
	b.features = append(b.features, features...)
	if most := s.config.Limits.Features; len(b.features) > most {
		return refuse(http.StatusUnprocessableEntity, "the files that are loaded hold more than %d shapes of a site; the page takes at most that many: leave some out, or use the command line", most)
	}
	return nil
}

// featuresOf has a reader read a file for a role, once. Nobody changes what it gives.
func (s *Server) featuresOf(ctx context.Context, d *dropped, role string, told measure.Units) ([]site.Feature, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.readAs == role && d.told == told {
		return d.features, nil
	}
	r, err := s.ask(ctx, question{Folder: d.folder, Names: []string{d.seen.Name}, File: d.seen.Name, Role: role, Units: told})
	if err != nil {
		return nil, err
	}
	if bytesOf(r.Features) > mostFeatureBytes {
		return nil, refuse(http.StatusUnprocessableEntity, "%s: it holds more corners than the page takes of a site: simplify it, or use the command line", d.seen.Name)
	}
	d.readAs, d.told, d.features = role, told, r.Features
	return r.Features, nil
}

// with is what files hold and what was drawn, in one list.
func (b *beside) with(drawn []site.Feature) []site.Feature { return slices.Concat(b.features, drawn) }

// into puts files into a request for the ground.
func (b *beside) into(q *read.Request) {
	if len(b.ground) > 0 {
		q.Elevation = b.ground
		q.ElevationOptions = raster.Options{Unit: b.unit, MostCells: q.ElevationOptions.MostCells, Bare: true, Flags: "file"}
	}
	q.Surface = b.surface
	q.SurfaceOptions = raster.Options{Unit: b.surfaceUnit, MostCells: q.ElevationOptions.MostCells, Bare: true}
}

// check refuses a site file of which nothing lies near the lots: it is of another place, or its
// coordinate system is another.
func (b *beside) check(lots []zoning.Lot) error {
	var box orb.Bound
	for i, lot := range lots {
		if i == 0 {
			box = lot.Ground.Bound()
		} else {
			box = box.Union(lot.Ground.Bound())
		}
	}
	for i, features := range b.sites {
		if err := (read.SiteFiles{Site: []string{b.names[i]}, SiteOptions: read.SiteOptions{Units: b.told}}).CheckPlace(features, box); err != nil {
			return unusable(err)
		}
	}
	return nil
}

// named is what files are said to be where nobody has told.
func named(paths []string) string {
	names := make([]string, len(paths))
	for i, p := range paths {
		names[i] = filepath.Base(p)
	}
	return strings.Join(names, ", ")
}

// says tells of elevation that was dropped instead of the server's.
func (b *beside) says() []string {
	if len(b.ground) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Elevation is read from %s, which was loaded here, and not from what this page was started with", named(b.ground))}
}
