package raster

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"strings"

	"github.com/acreband/acreband/terrain/fetch"
)

// textFile is a file whose text is known.
type textFile []byte

func (t textFile) ReadAll(_ context.Context, into [][]byte, at []int64) ([]int, error) {
	filled := make([]int, len(into))
	for i, p := range into {
		if at[i] >= 0 && at[i] < int64(len(t)) {
			filled[i] = copy(p, t[at[i]:])
		}
	}
	return filled, nil
}

// madeOf finds what a description of a raster is made of.
var madeOf = regexp.MustCompile(`(?s)(<(?:\w*Source\w*|\w*Dataset\w*|\w*Filename\w*|\w*File)(?:\s[^>]*)?>\s*)([^<\s][^<]*?)(\s*</)`)

// remoteText is the text of a file on a server that says what other files it is made of; nil of any other file. Those must lie
// beside it or at addresses, which are fetched as it is itself: one that it says is http, though it is itself given by https, by
// https.
func remoteText(f *fetch.File, prefix string) (textFile, error) {
	first := make([]byte, min(1024, f.Size))
	if _, err := f.ReadAll(context.Background(), [][]byte{first}, []int64{0}); err != nil {
		return nil, err
	}
	if !isDescription(first) {
		return nil, nil
	}
	if f.Size > mostText {
		return nil, fmt.Errorf("%s: a text of %d MB, which none describes a raster by", f.Address, f.Size>>20)
	}
	text := make([]byte, f.Size)
	if _, err := f.ReadAll(context.Background(), [][]byte{text}, []int64{0}); err != nil {
		return nil, err
	}
	var refused error
	text = madeOf.ReplaceAllFunc(text, func(part []byte) []byte {
		p := madeOf.FindSubmatch(part)
		named := string(p[2])
		address := strings.TrimPrefix(named, curlPrefix)
		switch {
		case isAddress(address):
			if rest, plain := strings.CutPrefix(address, "http://"); plain && strings.HasPrefix(strings.ToLower(f.Address), "https://") {
				address = "https://" + rest
			}
			return bytes.Join([][]byte{p[1], []byte(prefix + address), p[3]}, nil)
		case strings.HasPrefix(named, "/") || strings.Contains(named, ":") || strings.Contains(named, "&"):
			if refused == nil {
				refused = fmt.Errorf("%s: it is made of %s, which is no file beside it and no address; download it and what it is made of, and give its path", f.Address, shorten(named))
			}
		}
		return part
	})
	if refused == nil && isService(text) {
		refused = fmt.Errorf("%s: it describes a service, not a raster", f.Address)
	}
	return text, refused
}

// isService reports whether a text describes a service that GDAL would ask by itself.
func isService(text []byte) bool {
	for _, s := range services {
		if bytes.Contains(text[:min(len(text), 1024)], []byte("<"+s)) {
			return true
		}
	}
	return false
}
