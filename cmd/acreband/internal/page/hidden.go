package page

import (
	"cmp"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/raster"
)

// hidden are the folders of this machine that nobody who looks at the page is told: those of
// the elevation, which may be addresses, and that of uploads.
type hidden struct{ whole, folders *regexp.Regexp }

// Where a path begins, how its names are parted and where it ends.
const (
	before = "(^|[\\s\"'`(=:,;])"
	parted = `[/\\]`
	ending = "([\\s\"'`):,;]|$)"
)

func newHidden(elevation []string, entries []raster.Entry, dir string) *hidden {
	folders, whole := map[string]bool{dir: true}, map[string]bool{dir: true}
	for _, path := range elevation {
		folders[folderOf(path)] = true
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			path = strings.TrimRight(path, `/\`)
			folders[path], whole[path] = true, true
		}
	}
	for _, e := range entries {
		folders[folderOf(e.Path)] = true
	}
	upload := regexp.QuoteMeta(dir) + parted + uploadPrefix + `\d+`
	return &hidden{
		whole:   regexp.MustCompile(before + "(?:" + anyOf(whole) + ")" + ending),
		folders: regexp.MustCompile(before + "(?:" + upload + "|" + anyOf(folders) + ")" + parted),
	}
}

// anyOf matches any of several texts, the longest first: a folder is taken off whole, not
// up to the one it lies in.
func anyOf(texts map[string]bool) string {
	delete(texts, "")
	all := slices.Collect(maps.Keys(texts))
	slices.SortFunc(all, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
	for i := range all {
		all[i] = regexp.QuoteMeta(all[i])
	}
	return strings.Join(all, "|")
}

// folderOf is a path or an address without its last name.
func folderOf(path string) string { return path[:max(strings.LastIndexAny(path, `/\`), 0)] }

// absolute is a path from the root, but for its last name: names without blanks.
var absolute = regexp.MustCompile(before + "(?:[A-Za-z]:)?" + parted + "(?:[^/\\\\\\s\"'`();:,]+" + parted + ")+")

// text is words without paths: of each file its name is left.
func (h *hidden) text(words string) string {
	words = h.whole.ReplaceAllString(words, "${1}the folder$2")
	return absolute.ReplaceAllString(h.folders.ReplaceAllString(words, "$1"), "$1")
}

// all is text of each of several.
func (h *hidden) all(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = h.text(w)
	}
	return out
}
