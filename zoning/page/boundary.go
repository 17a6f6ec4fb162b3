package page

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/vector"
)

// readLots reads the lots of an uploaded boundary. Errors call it by its own name,
// wherever it was written.
func (s *Server) readLots(files []upload) (name string, lots []vector.Lot, err error) {
	main, err := clean(files, s.config.Limits)
	if err != nil {
		return "", nil, unusable(fmt.Errorf("%s: %w", files[0].name, err))
	}
	err = inFolder(files, func(folder string) error {
		options := s.config.Parcels
		options.MostLots, options.MostCorners = s.config.Limits.Lots, s.config.Limits.Corners
		lots, err = vector.Read(filepath.Join(folder, main), options)
		if many := tooMany(main, err); many != nil {
			return many
		}
		if err != nil {
			return unusable(elsewhere(err, folder))
		}
		for i := range lots {
			lots[i].Err = elsewhere(lots[i].Err, folder)
		}
		return nil
	})
	if err != nil {
		return "", nil, err
	}
	return main, lots, checkSize(main, lots, s.config.Limits)
}

// elsewhere is an error without the folder that a file was read in.
func elsewhere(err error, folder string) error {
	if err == nil {
		return nil
	}
	return errors.New(strings.ReplaceAll(err.Error(), folder+string(os.PathSeparator), ""))
}

// tooMany is the error of a file that holds more than the page takes; nil of any other.
func tooMany(name string, err error) error {
	var many *vector.TooMany
	if !errors.As(err, &many) {
		return nil
	}
	return unusable(fmt.Errorf("%s: it holds more than %d %s; the page takes at most that many: give a part of it, or use the command line", name, many.Most, many.What))
}

func checkSize(name string, lots []vector.Lot, l Limits) error {
	corners := 0
	for _, lot := range lots {
		for _, poly := range lot.Ground {
			for _, ring := range poly {
				corners += len(ring)
			}
		}
	}
	if corners > l.Corners {
		return unusable(fmt.Errorf("%s: its outlines have %d corners; the page takes at most %d: draw it with fewer, or use the command line", name, corners, l.Corners))
	}
	return nil
}

// siteFile is the name under which what was drawn on the page is read and taken away.
const siteFile = "site.geojson"

// readSite reads what was drawn on the page, as the command line reads a file of it.
func (s *Server) readSite(text []byte) (features []site.Feature, err error) {
	if len(text) == 0 {
		return nil, nil
	}
	err = inFolder([]upload{{siteFile, text}}, func(folder string) error {
		features, err = vector.ReadSite(filepath.Join(folder, siteFile), vector.SiteOptions{Most: s.config.Limits.Features})
		if many := tooMany(siteFile, err); many != nil {
			return many
		}
		if err != nil {
			return unusable(elsewhere(err, folder))
		}
		return nil
	})
	return features, err
}

// within tells whether all features lie in the box around the lots, for which
// elevation was read anyhow.
func within(features []site.Feature, lots []vector.Lot) bool {
	var box orb.Bound
	for i, lot := range lots {
		if b := lot.Ground.Bound(); i == 0 {
			box = b
		} else {
			box = box.Union(b)
		}
	}
	for _, f := range features {
		b := f.Geometry.Bound()
		if !box.Contains(b.Min) || !box.Contains(b.Max) {
			return false
		}
	}
	return true
}
