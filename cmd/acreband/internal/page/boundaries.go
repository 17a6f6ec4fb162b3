package page

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// readBoundaries reads the lots of one or more boundaries as those of one job.
func (s *Server) readBoundaries(ctx context.Context, folder string, names []string, told measure.Units) (boundary, error) {
	groups := boundariesIn(names)
	if len(groups) == 1 {
		return s.readLots(ctx, folder, names, told)
	}
	var all []string
	job := boundary{told: told}
	for k, group := range groups {
		own := filepath.Join(folder, "boundary "+strconv.Itoa(k))
		if err := os.Mkdir(own, 0o700); err != nil {
			return boundary{}, err
		}
		called := make([]string, len(group))
		for i, at := range group {
			called[i] = names[at]
			if err := os.Rename(filepath.Join(folder, strconv.Itoa(at)), filepath.Join(own, strconv.Itoa(i))); err != nil {
				return boundary{}, err
			}
		}
		one, err := s.readLots(ctx, own, called, told)
		if err != nil {
			return boundary{}, err
		}
		if job.lots, err = together(job.lots, one.lots, one.name); err != nil {
			return boundary{}, err
		}
		job.also = append(job.also, one.also...)
		if len(job.lots) > s.config.Limits.Lots {
			return boundary{}, unusable(fmt.Errorf("the files hold more than %d lots; the page takes at most that many: give a part of them, or use the command line", s.config.Limits.Lots))
		}
		all = append(all, one.name)
	}
	job.name = strings.Join(all, " and ")
	return job, nil
}

// boundariesIn parts files into boundaries, in their order: those of one shapefile lie together.
func boundariesIn(names []string) (groups [][]int) {
	at := map[string]int{} // of each shapefile, by its stem
	for i, n := range names {
		ext := filepath.Ext(n)
		stem := strings.TrimSuffix(n, ext)
		if !slices.Contains(shapefileParts, ext) {
			groups = append(groups, []int{i})
			continue
		}
		k, known := at[stem]
		if !known {
			k = len(groups)
			at[stem], groups = k, append(groups, nil)
		}
		groups[k] = append(groups[k], i)
	}
	return groups
}

// together adds the lots of another file to those of a job. Ground that both files hold would be
// counted twice, and is refused.
func together(lots, more []zoning.Lot, file string) ([]zoning.Lot, error) {
	places := len(lots)
	named := map[string]int{}
	for _, l := range lots {
		if named[l.Lot] == 0 {
			named[l.Lot] = l.Place
		}
	}
	for _, l := range more {
		for _, other := range lots[:places] {
			if l.Err == nil && other.Err == nil && orb.Equal(l.Ground, other.Ground) {
				return nil, unusable(fmt.Errorf("%s: lot %s is the same ground as lot %s of another file that was dropped with it: leave one of them out", file, l.Lot, other.Lot))
			}
		}
		l.Place += places
		for _, place := range []*int{&l.SameName, &l.SameGround} {
			if *place > 0 {
				*place += places
			}
		}
		if l.SameName == 0 {
			l.SameName = named[l.Lot]
		}
		lots = append(lots, l)
	}
	return lots, nil
}
