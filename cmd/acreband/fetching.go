package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
)

// client is what servers are asked by.
func (f elevationFlags) client(services []find.Source) (*fetch.Client, error) {
	if services == nil {
		services = find.BuiltIn()
	}
	most, err := readBytes(f.CacheLimit)
	if err != nil {
		return nil, usageError{fmt.Errorf("--cache-limit: %w", err)}
	}
	return fetch.New(find.Held(fetch.Options{
		Agent: strings.ReplaceAll(version(), "acreband ", "acreband/"), Dir: f.cacheFolder(), Bytes: most, Offline: f.Offline, AllowAll: f.AllowRemote,
	}, services)), nil
}

// cacheFolder is where what is fetched is kept; "" where there is no such folder.
func (f elevationFlags) cacheFolder() string {
	if f.Cache != "" {
		return f.Cache
	}
	user, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(user, "acreband", "fetched")
}

// readBytes reads a size such as 500MB or 2GB.
func readBytes(text string) (int64, error) {
	for _, unit := range []struct {
		name  string
		bytes float64
	}{{"GB", 1e9}, {"MB", 1e6}} {
		number, ok := strings.CutSuffix(strings.ToUpper(strings.TrimSpace(text)), unit.name)
		if !ok {
			continue
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(number), 64); err == nil && v > 0 && v < 1e6 {
			return int64(v * unit.bytes), nil
		}
	}
	return 0, fmt.Errorf("%q is no size; write one such as 500MB or 2GB", text)
}

// tellFetching has a meter show what is fetched.
func tellFetching(c *fetch.Client, m *meter) {
	c.TellTo(func(f fetch.Fetched) {
		m.tellStep("fetching", "fetching from "+f.Host+", kB", int(f.Bytes/1000), 0)
	})
}
