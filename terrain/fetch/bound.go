package fetch

import (
	"cmp"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Kept is what a folder keeps of one address.
type Kept struct {
	About
	Bytes int64     // on disk
	Used  time.Time // last

	path string
}

// List lists what a folder keeps, by address. A folder that is not there keeps nothing.
func List(dir string) ([]Kept, error) {
	entries, err := os.ReadDir(filepath.Join(dir, "kept"))
	if os.IsNotExist(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var all []Kept
	for _, d := range entries {
		k := Kept{path: filepath.Join(dir, "kept", d.Name())}
		if data, ok := readSealed(filepath.Join(k.path, "about")); ok {
			_ = json.Unmarshal(data, &k.About) // sealed: it is as it was written
		}
		if info, err := os.Stat(filepath.Join(k.path, "about")); err == nil {
			k.Used = info.ModTime()
		}
		k.Bytes = bytesIn(k.path)
		all = append(all, k)
	}
	slices.SortFunc(all, func(a, b Kept) int { return cmp.Or(cmp.Compare(a.Address, b.Address), cmp.Compare(a.path, b.path)) })
	return all, nil
}

func bytesIn(dir string) (sum int64) {
	_ = filepath.WalkDir(dir, func(_ string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			if info, err := d.Info(); err == nil {
				sum += info.Size()
			}
		}
		return nil // what went meanwhile takes no room
	})
	return sum
}

// remeasure is the share of the bound that a process writes before it measures the folder again, into which others write too.
const remeasure = 16

// wrote counts what was written, and makes room where the folder passes its bound.
func (s *store) wrote(bytes int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.written += bytes
	if s.known > 0 && s.known+s.written <= s.most && s.written < s.most/remeasure {
		return
	}
	all, err := List(s.dir)
	if err != nil {
		return
	}
	s.written, s.known = 0, 1
	for _, k := range all {
		s.known += k.Bytes
	}
	slices.SortStableFunc(all, func(a, b Kept) int { return a.Used.Compare(b.Used) })
	for _, k := range all {
		if s.known <= s.most {
			break
		}
		// What has no "about" yet is being written, or was left by a killed program.
		if k.Used.IsZero() && time.Since(modTime(k.path)) < time.Hour {
			continue
		}
		if os.RemoveAll(k.path) == nil {
			s.known -= k.Bytes
		}
	}
}

func modTime(path string) time.Time {
	info, err := os.Stat(path)
	if err != nil {
		return time.Time{}
	}
	return info.ModTime()
}
