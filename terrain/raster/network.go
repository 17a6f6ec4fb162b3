package raster

import (
	"context"
	"fmt"
	"os"
	"strings"

	"github.com/airbusgeo/godal"
)

// networkLimits bound what GDAL does about a server that does not answer, where a file that may ask one is no address itself. They
// are GDAL's own configuration options; what the environment says of one goes.
var networkLimits = [][2]string{
	{"GDAL_HTTP_CONNECTTIMEOUT", "10"},    // seconds
	{"GDAL_HTTP_TIMEOUT", "60"},           // of one request
	{"GDAL_HTTP_LOW_SPEED_LIMIT", "1000"}, // bytes a second
	{"GDAL_HTTP_LOW_SPEED_TIME", "15"},    // seconds below that
	{"GDAL_HTTP_MAX_RETRY", "2"},
	{"GDAL_HTTP_RETRY_DELAY", "1"}, // seconds, doubled each time
}

func limitNetwork() error {
	for _, limit := range networkLimits {
		if os.Getenv(limit[0]) == "" {
			if err := os.Setenv(limit[0], limit[1]); err != nil {
				return err
			}
		}
	}
	return nil
}

// alone keeps GDAL from looking for what else lies beside a file on a server, and from asking servers itself.
func alone() interface {
	godal.OpenOption
	godal.BandIOOption
	godal.DatasetTranslateOption
} {
	return godal.ConfigOption("GDAL_DISABLE_READDIR_ON_OPEN=EMPTY_DIR", noCurl)
}

// openRemote opens what lies at an address, known to GDAL by a name.
func (o Options) openRemote(ctx context.Context, address string) (*godal.Dataset, error) {
	if err := installRemote(); err != nil {
		return nil, err
	}
	if !o.found {
		o.client().Allow(address) // the user named it
	}
	name := o.vsi(address)
	var ds *godal.Dataset
	var asked request
	err := asked.wait(ctx, func() (err error) {
		ds, err = openFetched(ctx, name, address)
		return err
	})
	if asked.open() {
		asked.afterwards(func() {
			if ds != nil {
				_ = ds.Close(godal.ErrLogger(quiet)) // nobody wants it any more
			}
		})
		return nil, err
	}
	return ds, err
}

func openFetched(ctx context.Context, name, address string) (*godal.Dataset, error) {
	open := func() (*godal.Dataset, error) {
		return godal.Open(name, godal.RasterOnly(), godal.SiblingFiles(), godal.ErrLogger(quiet), alone())
	}
	before := failures()
	ds, err := open()
	if err != nil && failures() == before && ctx.Err() == nil {
		registerAll()
		ds, err = open()
	}
	if err == nil {
		return ds, nil
	}
	if cause := failedSince(before, address); cause != nil {
		return nil, cause
	}
	return nil, fmt.Errorf("what the server gave is no raster; correct the address, or download the file and give its path (%w)", err)
}

// readRemote reads from a server by read, and says why it could not.
func readRemote(address string, read func() error) error {
	before := failures()
	err := read()
	if err == nil {
		return nil
	}
	if cause := failedSince(before, address); cause != nil {
		return cause
	}
	return fmt.Errorf("what the server gave cannot be read; download the file and give its path (%w)", err)
}

const curlPrefix = "/vsicurl/"

// isAddress tells an http address from a path.
func isAddress(p string) bool {
	low := strings.ToLower(p)
	return strings.HasPrefix(low, "http://") || strings.HasPrefix(low, "https://")
}

// isRemote reports whether a path lies on a server.
func isRemote(p string) bool { return isAddress(strings.TrimPrefix(p, curlPrefix)) }
