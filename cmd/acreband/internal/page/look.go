package page

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// What a file is to a job.
const (
	asGround   = "ground"   // heights of the ground
	asSurface  = "surface"  // heights of what stands on it
	asBoundary = "boundary" // lots
	asSite     = "site"     // shapes that say what they are
	asStaging  = "staging"  // where the trailer unloads
	asTravel   = "travel"   // ground that machines may cross beside the lots

	asKind = "as:" // of a site, all of the kind that follows
)

// plainKinds are the kinds that shapes may be said to be which say nothing themselves, the safest
// first: nothing more needs to be known of them.
var plainKinds = []site.Kind{site.NoGo, site.OverheadLine, site.Water, site.Road, site.Path, site.Railway, site.Pipeline, site.Building, site.Tower, site.LeaveTree, site.People, site.Edge}

// seen is what a look at a file shows.
type seen struct {
	Name  string   // under which it lies in its folder
	Roles []string // that it may have
	Sure  bool     // the first of them is it
	Words string   // what it holds
	// Assumed says that nothing told the unit of its heights, which is taken to be meters.
	Assumed bool
}

// seenFolder is where a raster lies until it is copied, in the folder of its upload.
const seenFolder = "as dropped"

// rasterFormats are those that elevation is taken in, by how a file begins.
var rasterFormats = []struct{ magic, driver string }{
	{"II*\x00", "GTiff"}, {"MM\x00*", "GTiff"}, {"II+\x00", "GTiff"}, {"MM\x00+", "GTiff"}, {"ncols", "AAIGrid"},
}

var rasterExtensions = []string{".tif", ".tiff", ".asc"}

// besideRaster are the files that may be dropped with a raster: they say where it lies.
var besideRaster = []string{".prj", ".tfw", ".tifw"}

const rastersTaken = "elevation is taken as GeoTIFF (.tif) or an ASCII grid (.asc, with its .prj)"

// look tells what the files of an upload are by what they hold, and leaves in the folder what
// is to be read of them.
func (q question) look() (seen, error) {
	if i, driver := rasterAmong(q.Folder, len(q.Names)); i >= 0 {
		return q.lookAtRaster(i, driver)
	}
	s, err := q.lookAtShapes()
	if err != nil && strings.Contains(err.Error(), "in no format known here") { // who reads shapes alone knows of no other
		err = fmt.Errorf("%w; %s", err, rastersTaken)
	}
	return s, err
}

// rasterAmong finds the raster among the n files of an upload, and the driver that reads it;
// -1 where there is none.
func rasterAmong(folder string, n int) (i int, driver string) {
	for i := range n {
		head, err := headOf(filepath.Join(folder, strconv.Itoa(i)))
		if err != nil {
			continue // whoever reads it whole says why
		}
		for _, f := range rasterFormats {
			if strings.HasPrefix(strings.ToLower(head), strings.ToLower(f.magic)) {
				return i, f.driver
			}
		}
	}
	return -1, ""
}

func headOf(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	head := make([]byte, 64)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return "", err
	}
	return string(bytes.TrimLeft(head[:n], " \t\r\n")), nil
}

// lookAtRaster copies the i-th file, with which may lie what says where it is.
func (q question) lookAtRaster(i int, driver string) (seen, error) {
	name := q.Names[i]
	stem := strings.TrimSuffix(name, filepath.Ext(name))
	from := filepath.Join(q.Folder, seenFolder)
	if err := os.Mkdir(from, 0o700); err != nil {
		return seen{}, err
	}
	for k, n := range q.Names {
		ext := filepath.Ext(n)
		if k != i && (strings.TrimSuffix(n, ext) != stem || !slices.Contains(besideRaster, ext)) {
			return seen{}, fmt.Errorf("%s: it was dropped as part of %s, which it is not: drop it by itself", n, name)
		}
		if err := os.Rename(filepath.Join(q.Folder, strconv.Itoa(k)), filepath.Join(from, n)); err != nil {
			return seen{}, err
		}
	}
	defer os.RemoveAll(from)
	o := raster.CopyOptions{
		Options: raster.Options{Unit: q.Unit, CRS: q.CRS, Flags: "file"}, Drivers: []string{driver}, MostCells: q.Limits.DroppedCells,
	}
	s := seen{Name: stem + ".tif", Roles: []string{asGround, asSurface}}
	path, to := filepath.Join(from, name), filepath.Join(q.Folder, s.Name)
	source, err := raster.Copy(context.Background(), path, to, o)
	if errors.Is(err, raster.ErrNotHeights) { // what is too rough for ground may be a surface
		o.Surface = true
		s.Roles = []string{asSurface}
		var again error
		if source, again = raster.Copy(context.Background(), path, to, o); again == nil {
			err = nil
		}
	}
	if err != nil {
		return seen{}, err
	}
	ground, surface := raster.SaysGround(name), raster.SaysSurface(name)
	if len(s.Roles) > 1 && surface && !ground {
		slices.Reverse(s.Roles)
	}
	s.Sure = ground != surface && len(s.Roles) > 1
	unit := map[string]string{raster.Metre: "meters", raster.Foot: "feet", raster.USSurveyFoot: "US survey feet"}[source.Unit]
	if s.Assumed = source.UnitFrom == "assumed"; s.Assumed {
		unit += " (assumed)"
	}
	s.Words = fmt.Sprintf("%s × %s heights in %s, %s m apart", text.Grouped(float64(source.Cols), 0), text.Grouped(float64(source.Rows), 0), unit, text.Grouped(max(source.CellM[0], source.CellM[1]), 1))
	return s, nil
}

// lookAtShapes tells what shapes may be: those that say themselves what each is are of a site.
func (q question) lookAtShapes() (s seen, err error) {
	if s.Name, err = q.unpack(); err != nil {
		return s, fmt.Errorf("%s: %w", q.Names[0], err)
	}
	file := filepath.Join(q.Folder, s.Name)
	options := q.Parcels
	options.MostLots, options.MostCorners, options.Units = q.Limits.Lots, q.Limits.Corners, q.Units
	lots, lotErr := read.Read(context.Background(), file, options)
	usable := slices.ContainsFunc(lots, func(l zoning.Lot) bool { return l.Err == nil })
	marked, err := q.readFor(asSite, file)
	if err == nil {
		s.Roles, s.Sure, s.Words = []string{asSite}, true, numbered(len(marked), "shape")+" of a site"
		if kind, named := site.KindOf(strings.TrimSuffix(s.Name, filepath.Ext(s.Name))); named && usable && marked[0].Kind == kind {
			s.Roles, s.Sure = append(s.Roles, asBoundary), false // by its name alone
		}
		return s, nil
	}
	var unsaid *read.NoKind
	if !errors.As(err, &unsaid) {
		return s, tooMany(s.Name, err)
	}
	if usable {
		s.Roles, s.Words = append(s.Roles, asBoundary), numbered(len(lots), "outline")
	}
	for _, role := range []string{asStaging, asTravel} {
		if features, err := q.readFor(role, file); err == nil {
			s.Roles, s.Words = append(s.Roles, role), cmp.Or(s.Words, numbered(len(features), "spot"))
		}
	}
	if len(lots) > 0 && !usable {
		return s, lots[0].Err
	}
	if unsaid.Value == "" {
		kinds, n := q.kindsOf(file)
		s.Roles, s.Words = append(s.Roles, kinds...), cmp.Or(s.Words, numbered(n, "shape"))
	}
	switch {
	case len(s.Roles) > 0:
	case unsaid.Value == "" && lotErr != nil:
		return s, tooMany(s.Name, lotErr)
	default:
		return s, err
	}
	name := strings.ToLower(s.Name)
	for role, words := range map[string][]string{asStaging: {"staging", "unload", "trailer"}, asTravel: {"travel", "cross"}} {
		says := slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, w) })
		if at := slices.Index(s.Roles, role); says && at >= 0 {
			s.Roles = append([]string{role}, slices.Delete(s.Roles, at, at+1)...)
			s.Sure = true
		}
	}
	// An outline that says nothing of itself is a boundary, the first that is dropped; who has
	// one already is asked.
	s.Sure = s.Sure || s.Roles[0] == asBoundary && unsaid.Value == ""
	return s, nil
}

// kindsOf are the roles of a site that all shapes of a file may have, and how many they are.
func (q question) kindsOf(file string) (roles []string, n int) {
	features, err := q.readFor(asKind+string(site.NoGo), file)
	if err != nil {
		return nil, 0
	}
	for _, k := range plainKinds {
		if !slices.ContainsFunc(features, func(f site.Feature) bool { return k.Fits(f.Geometry) != nil }) {
			roles = append(roles, asKind+string(k))
		}
	}
	return roles, len(features)
}

// readFor reads shapes for a role.
func (q question) readFor(role, file string) ([]site.Feature, error) {
	files := read.SiteFiles{SiteOptions: read.SiteOptions{Most: q.Limits.Features, Units: q.Units}}
	switch role {
	case asStaging:
		files.Staging = []string{file}
	case asTravel:
		files.Travel = []string{file}
	default:
		kind, _ := strings.CutPrefix(role, asKind)
		if kind != role {
			files.SiteOptions.Kind = site.Kind(kind)
		}
		return read.ReadSite(context.Background(), file, files.SiteOptions)
	}
	return files.ReadDrawn(context.Background())
}

func numbered(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// fieldOf is what a raster does not say that may be said for it; "" for any other error.
func fieldOf(err error) string {
	switch {
	case errors.Is(err, raster.ErrUnit):
		return "file-unit"
	case errors.Is(err, raster.ErrNoCRS):
		return "file-crs"
	}
	return ""
}
