package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/text"
)

// listFound prints what services have for the lots, without fetching any of it, and returns the rasters that are named beside.
func (c *elevationCmd) listFound(out io.Writer, o raster.Options, lots []zoning.Lot) ([]string, error) {
	named, searched, err := read.SplitElevation(c.Rasters, o)
	if err != nil || len(searched) == 0 {
		return named, err
	}
	ground := read.GroundOf(lots, nil)
	if len(ground) == 0 {
		return nil, fmt.Errorf("%s is searched for the ground of lots; name a boundary by --parcel", searched[0].Key)
	}
	search, err := read.FindElevation(context.Background(), o, searched, ground)
	if err != nil {
		return nil, err
	}
	var words strings.Builder
	for _, t := range search.Tiles {
		text.Fold(&words, "", text.OneLine(t.Address), columns)
		line := func(what, value string) {
			if value != "" {
				text.Fold(&words, fmt.Sprintf("  %-*s  ", aspectWidth, what), text.OneLine(value), columns)
			}
		}
		line("found by", t.Found.Service)
		line("project", t.Found.Project)
		line("surveyed", cmp.Or(t.Surveyed, "not told"))
		line("published", t.Found.Published)
		if t.Bytes > 0 {
			line("size", fmt.Sprintf("%.0f MB", float64(t.Bytes)/1e6))
		}
		if t.Surface != "" {
			line("surface", t.Surface)
		}
	}
	_, err = io.WriteString(out, words.String())
	return named, err
}

// listCached prints what was fetched and is kept.
func (c *elevationCmd) listCached(out io.Writer) error {
	kept, err := fetch.List(c.cacheFolder())
	if err != nil {
		return inputError{err}
	}
	var words strings.Builder
	var sum int64
	for _, k := range kept {
		sum += k.Bytes
		if k.Address == "" {
			continue // being written
		}
		what := fmt.Sprintf("%.1f of %.1f MB kept", float64(k.Bytes)/1e6, float64(k.Size)/1e6)
		if k.Kind == fetch.KindAnswer {
			what = fmt.Sprintf("an answer of %.1f kB", float64(k.Size)/1e3)
		}
		text.Fold(&words, "", fmt.Sprintf("%s: %s, fetched %s, used %s", text.OneLine(k.Address), what, k.Fetched.Format("2006-01-02"), k.Used.UTC().Format("2006-01-02")), columns)
	}
	text.Fold(&words, "", fmt.Sprintf("%d addresses, %.1f MB of %s at most, in %s", len(kept), float64(sum)/1e6, c.CacheLimit, c.cacheFolder()), columns)
	_, err = io.WriteString(out, words.String())
	return err
}
