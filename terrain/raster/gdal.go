package raster

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/airbusgeo/godal"
)

// Registering every driver costs tens of milliseconds and most rasters are
// GeoTIFFs, so the rest are registered when a file asks for them.
var (
	registerFew = sync.OnceValue(func() error {
		// A GeoTIFF's vertical CRS stays hidden without this, and GDAL reads it
		// when the CRS is asked for, not when the file is opened.
		if os.Getenv("GTIFF_REPORT_COMPD_CS") == "" {
			if err := os.Setenv("GTIFF_REPORT_COMPD_CS", "YES"); err != nil {
				return err
			}
		}
		if err := limitNetwork(); err != nil {
			return err
		}
		return godal.RegisterRaster(godal.GTiff, godal.VRT, godal.Memory)
	})
	registerAll = sync.OnceFunc(godal.RegisterAll)
)

// quiet keeps GDAL's warnings from being taken for errors: what matters of
// them is checked on the values.
func quiet(ec godal.ErrorCategory, _ int, msg string) error {
	if ec >= godal.CE_Failure {
		return errors.New(strings.TrimSpace(msg))
	}
	return nil
}

func openDataset(ctx context.Context, name string, o Options) (*godal.Dataset, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := registerFew(); err != nil {
		return nil, fmt.Errorf("registering GDAL's raster drivers: %w", err)
	}
	if isRemote(name) {
		return o.openRemote(ctx, name)
	}
	options := []godal.OpenOption{godal.RasterOnly(), godal.SiblingFiles(), godal.ErrLogger(quiet),
		godal.ConfigOption("GDAL_NUM_THREADS=ALL_CPUS")} // to decompress
	options = append(options, o.unasked(name)...)
	name = o.vsi(name)
	ds, err := godal.Open(name, options...)
	if err == nil {
		return ds, nil
	}
	registerAll()
	return godal.Open(name, options...)
}

// unasked keeps a file from asking servers, unless it may or is on one.
func (o Options) unasked(name string) []godal.OpenOption {
	if o.AllowRemote || onNetwork.MatchString(name) {
		return nil
	}
	return []godal.OpenOption{godal.ConfigOption(noCurl)}
}

// bandUnit asks for the unit of a raster's first band, which godal does not
// bind: it stands in the VRT that describes the raster.
func bandUnit(o Options, path string, ds *godal.Dataset) (string, error) {
	if strings.EqualFold(filepath.Ext(path), ".vrt") {
		return unitIn(o.vsi(path)) // to translate it would open all it is made of
	}
	const name = "/vsimem/acreband-unit.vrt"
	unitMu.Lock()
	defer unitMu.Unlock()
	vrt, err := ds.Translate(name, []string{"-of", "VRT", "-b", "1"}, godal.ErrLogger(quiet), alone())
	if err != nil {
		return "", err
	}
	if err := vrt.Close(godal.ErrLogger(quiet)); err != nil {
		return "", err
	}
	defer godal.VSIUnlink(name)
	return unitIn(name)
}

func unitIn(vrt string) (string, error) {
	f, err := godal.VSIOpen(vrt)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return unitType(f)
}

var unitMu sync.Mutex // there is one such name
