package raster

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"math"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// An index file keeps the entries of a folder. It begins with indexMagic and
// ends with the CRC-32 of all before that; numbers are varints, text carries its
// length, and CRSs are listed once.
const indexMagic = "acreband elevation index 3\n"

// record is what an index keeps of one file.
type record struct {
	size, modTime int64
	entries       []Entry // their paths seen from the file: "" for itself
}

// failed reports whether something in the file could not be opened: next time it
// may, so that is not relied on.
func (r record) failed() bool {
	return slices.ContainsFunc(r.entries, func(e Entry) bool { return e.Cols == 0 })
}

// indexPath is where the index of a folder lies: in the user's cache under a name made from
// the folder's path. Nothing is written where the data lie.
func indexPath(folder string) (string, error) {
	full, err := filepath.Abs(folder)
	if err != nil {
		return "", err
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(cache, "acreband", fmt.Sprintf("elevation-%x", sha256.Sum256([]byte(full)))), nil
}

// readIndex reads the index of a folder by relative path; what is missing or
// damaged is as if it had never been written.
func readIndex(folder string) map[string]record {
	path, err := indexPath(folder)
	if err != nil {
		return nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	records, _ := decodeIndex(data)
	return records
}

// writeIndex writes the index of a folder, whole or not at all.
func writeIndex(folder string, names []string, records map[string]record) error {
	path, err := indexPath(folder)
	if err != nil {
		return err
	}
	return writeAtomically(path, encodeIndex(names, records))
}

func writeAtomically(path string, data []byte) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	parts := path + ".*.part"
	clearParts(parts)
	f, err := os.CreateTemp(filepath.Dir(parts), filepath.Base(parts))
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	_, err = f.Write(data)
	if err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// partAge is the age from which on a part of an index is no longer being written.
const partAge = time.Hour

// clearParts takes away what killed programs left of indexes.
func clearParts(pattern string) {
	left, _ := filepath.Glob(pattern) // of a folder whose name is a pattern too they stay
	for _, part := range left {
		if info, err := os.Lstat(part); err == nil && time.Since(info.ModTime()) > partAge {
			_ = os.Remove(part)
		}
	}
}

func encodeIndex(names []string, records map[string]record) []byte {
	var crss []string
	of := map[string]int{}
	for _, name := range names {
		for _, e := range records[name].entries {
			if _, ok := of[e.CRS]; !ok {
				of[e.CRS] = len(crss)
				crss = append(crss, e.CRS)
			}
		}
	}
	b := []byte(indexMagic)
	text := func(s string) { b = append(binary.AppendUvarint(b, uint64(len(s))), s...) }
	number := func(v int64) { b = binary.AppendVarint(b, v) }
	float := func(v float64) { b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v)) }
	number(int64(len(crss)))
	for _, c := range crss {
		text(c)
	}
	number(int64(len(names)))
	for _, name := range names {
		r := records[name]
		text(name)
		number(r.size)
		number(r.modTime)
		number(int64(len(r.entries)))
		for _, e := range r.entries {
			text(e.Path)
			text(e.Refused)
			text(e.Surveyed)
			number(int64(e.Cols))
			number(int64(e.Rows))
			number(int64(of[e.CRS]))
			for _, v := range e.Grid {
				float(v)
			}
			float(e.CellM[0])
			float(e.CellM[1])
			number(int64(len(e.Rim)))
			for _, p := range e.Rim {
				float(p[0])
				float(p[1])
			}
		}
	}
	return sealed(b)
}

func sealed(b []byte) []byte { return binary.LittleEndian.AppendUint32(b, crc32.ChecksumIEEE(b)) }

var errDamaged = errors.New("the index is damaged, or of another version")

// decoder reads an index's parts; once something is wrong it gives zeros.
type decoder struct {
	rest []byte
	bad  bool
}

func (d *decoder) number() int64 {
	v, n := binary.Varint(d.rest)
	if n <= 0 {
		d.bad, d.rest = true, nil
		return 0
	}
	d.rest = d.rest[n:]
	return v
}

func (d *decoder) text() string {
	v, n := binary.Uvarint(d.rest)
	if n <= 0 || v > uint64(len(d.rest)-n) {
		d.bad, d.rest = true, nil
		return ""
	}
	s := string(d.rest[n : n+int(v)])
	d.rest = d.rest[n+int(v):]
	return s
}

func (d *decoder) float() float64 {
	if len(d.rest) < 8 {
		d.bad, d.rest = true, nil
		return 0
	}
	v := math.Float64frombits(binary.LittleEndian.Uint64(d.rest))
	d.rest = d.rest[8:]
	return v
}

// count reads how many things follow, each of which takes at least size bytes.
func (d *decoder) count(size int) int {
	n := d.number()
	if n < 0 || n > int64(len(d.rest)/size) {
		d.bad, d.rest = true, nil
		return 0
	}
	return int(n)
}

func decodeIndex(data []byte) (map[string]record, error) {
	n := len(data) - 4
	if n < len(indexMagic) || !bytes.HasPrefix(data, []byte(indexMagic)) || crc32.ChecksumIEEE(data[:n]) != binary.LittleEndian.Uint32(data[n:]) {
		return nil, errDamaged
	}
	d := &decoder{rest: data[len(indexMagic):n]}
	crss := make([]string, d.count(1))
	for i := range crss {
		crss[i] = d.text()
	}
	files := d.count(4)
	records := make(map[string]record, files)
	var rims [][2]float64
	for range files {
		name := d.text()
		r := record{size: d.number(), modTime: d.number()}
		r.entries = make([]Entry, d.count(71))
		for i := range r.entries {
			e := &r.entries[i]
			e.Path, e.Refused, e.Surveyed = d.text(), d.text(), d.text()
			e.Cols, e.Rows = int(d.number()), int(d.number())
			crs := d.number()
			if crs < 0 || crs >= int64(len(crss)) {
				return nil, errDamaged
			}
			e.CRS = crss[crs]
			for k := range e.Grid {
				e.Grid[k] = d.float()
			}
			e.CellM = [2]float64{d.float(), d.float()}
			n := d.count(16)
			if len(rims) < n {
				rims = make([][2]float64, max(n, len(d.rest)/16)) // one piece for many
			}
			e.Rim, rims = rims[:n:n], rims[n:]
			for k := range e.Rim {
				e.Rim[k] = [2]float64{d.float(), d.float()}
			}
		}
		records[name] = r
	}
	if d.bad || len(d.rest) > 0 {
		return nil, errDamaged
	}
	return records, nil
}
