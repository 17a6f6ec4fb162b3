package raster

import (
	"context"
	"errors"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/airbusgeo/godal"
)

// networkLimits bound what GDAL does about a server that does not answer. They
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

// alone keeps GDAL from asking a server what else lies beside a file, and from
// keeping what it was given once the file is closed: half an answer too.
func alone() interface {
	godal.OpenOption
	godal.BandIOOption
	godal.DatasetTranslateOption
} {
	return godal.ConfigOption("GDAL_DISABLE_READDIR_ON_OPEN=EMPTY_DIR", "CPL_VSIL_CURL_NON_CACHED="+curlPrefix)
}

// remoteTries is how often what a server breaks off is asked for. GDAL itself
// asks again where it answers late, or that it is busy.
const remoteTries = 3

func openRemote(ctx context.Context, name string) (*godal.Dataset, error) {
	var ds *godal.Dataset
	var asked request
	err := asked.wait(ctx, func() (err error) {
		ds, err = openTrying(ctx, name)
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

func openTrying(ctx context.Context, name string) (*godal.Dataset, error) {
	var err error
	for try := range remoteTries {
		if ended := ctx.Err(); ended != nil {
			return nil, ended
		}
		var ds *godal.Dataset
		ds, err = godal.Open(name, godal.RasterOnly(), godal.SiblingFiles(), godal.ErrLogger(quiet), alone())
		if err == nil {
			return ds, nil
		}
		if cause, final := remoteCause(err); final {
			return nil, cause
		}
		if try == 0 {
			registerAll()
		}
	}
	return nil, fmt.Errorf("what the server gave is no raster, or it broke off; correct the address, or download the file and give its path (%w)", err)
}

// readRemote reads from a server by read, which is given a logger. A failure
// that GDAL got over by asking again is none.
func readRemote(ctx context.Context, read func(log godal.ErrorHandler) error) error {
	var err error
	for range remoteTries {
		if ended := ctx.Err(); ended != nil {
			return ended
		}
		var said []string
		err = read(func(ec godal.ErrorCategory, _ int, msg string) error {
			if ec < godal.CE_Failure {
				return nil
			}
			said = append(said, strings.TrimSpace(msg))
			if strings.HasPrefix(msg, "Request for ") {
				return nil
			}
			return errors.New(said[len(said)-1])
		})
		if err == nil {
			return nil
		}
		err = errors.New(strings.Join(slices.Compact(said), "; "))
		if cause, final := remoteCause(err); final {
			return cause
		}
		if !brokenOff.MatchString(err.Error()) {
			return fmt.Errorf("the server does not answer; try later, or download the file and give its path (%w)", err)
		}
	}
	return fmt.Errorf("the server broke off, after several tries; try later, or download the file and give its path (%w)", err)
}

const curlPrefix = "/vsicurl/"

// isAddress tells an http address from a path.
func isAddress(p string) bool {
	low := strings.ToLower(p)
	return strings.HasPrefix(low, "http://") || strings.HasPrefix(low, "https://")
}

func isRemote(p string) bool { return isAddress(p) || strings.HasPrefix(p, curlPrefix) }

// brokenOff tells an answer that began: GDAL asks for none of those again.
var brokenOff = regexp.MustCompile(`response_code=206|got [1-9][0-9]* bytes`)

// remoteCause says in words for people why an address could not be read, and
// whether to ask again would be in vain.
func remoteCause(err error) (cause error, final bool) {
	text := err.Error()
	for _, c := range []struct{ sign, words string }{
		{"404", "the server has no such file (404); correct the address"},
		{"403", "the server refuses to give it (403)"},
		{"401", "the server asks for a login (401)"},
		{"5", "the server cannot give it now, after several tries; try later, or download the file and give its path"},
		{"429", "the server is asked too often (429); try later, or download the file and give its path"},
	} {
		if strings.Contains(text, "HTTP response code: "+c.sign) || strings.Contains(text, "response_code="+c.sign) {
			return fmt.Errorf("%s (%w)", c.words, err), true
		}
	}
	for _, c := range []struct{ sign, words string }{
		{"timed out", "the server does not answer in time; try later, or download the file and give its path"},
		{"too slow", "the server answers too slowly; try later, or download the file and give its path"},
		{"response_code=0", "the server does not answer; try later, or download the file and give its path"},
		{"CURL error", "the server cannot be reached; check the address and the network"},
	} {
		if strings.Contains(text, c.sign) {
			return fmt.Errorf("%s (%w)", c.words, err), true
		}
	}
	return err, false
}
