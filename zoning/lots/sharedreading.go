package lots

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/acreband/acreband/zoning/child"
	"github.com/acreband/acreband/zoning/mapping"
)

// A reading is kept in the folder of the shards, so that the boundary file is read once
// for all of them: the frames of the lots, as in a spool, an index, and a tail that says
// where the index begins. One that has no tail was cut off, and is made again.

// readingIndex is what a shard needs of all lots.
type readingIndex struct {
	Found      reading
	Places     []uint32 // in the order of work
	At         []int64  // where their frames begin
	Sums       []uint64
	Bad        map[uint32]Fault
	SameGround map[uint32]int

	Unnamed, SameName int
}

// tailBytes is the frame of an eight byte offset, of place 0 and without a head.
const tailBytes = child.PrefixBytes + 3 + 8

// readingName is the name of the kept reading of the job: what it depends on, with sizes
// and times of files. It is "" where that cannot be told, as of services.
func (c *Config) readingName() string {
	j := c.Job
	j.Fleet, j.Options = nil, mapping.Options{} // lots are read alike for all
	text, err := j.encode()
	if err != nil || j.FindSurface || len(j.Elevation) == 0 {
		return ""
	}
	h := sha256.New()
	fmt.Fprintf(h, "%q %x", c.Version, text)
	for _, paths := range [][]string{{j.Parcels}, j.Elevation, j.Surface, j.Site.Site, j.Site.Staging, j.Site.Travel} {
		for _, path := range paths {
			if err := addStamps(h, path); err != nil {
				return ""
			}
		}
	}
	return fmt.Sprintf("reading-%x.journal", h.Sum(nil)[:8])
}

// addStamps adds the names, sizes and times of what a path is: a file with those beside
// it that share its name, or all of a folder.
func addStamps(h io.Writer, path string) error {
	if _, err := os.Stat(path); err != nil {
		return err
	}
	beside, err := filepath.Glob(path[:len(path)-len(filepath.Ext(path))] + ".*")
	if err != nil {
		return err
	}
	for _, root := range append(beside, path) {
		err := filepath.WalkDir(root, func(name string, _ os.DirEntry, err error) error {
			if err != nil {
				return err
			}
			info, err := os.Stat(name)
			if err == nil && !info.IsDir() {
				fmt.Fprintf(h, "%q %d %d\n", name, info.Size(), info.ModTime().UnixNano())
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// readShared takes the lots from the reading that the shards of the folder share, or
// makes it.
func (r *run) readShared(name string, kept *journal) (found reading, err error) {
	f, err := os.OpenFile(filepath.Join(r.Dir, name), os.O_CREATE|os.O_RDWR, 0o666)
	if err != nil {
		return found, fmt.Errorf("the lots that are read cannot be kept there: %w", err)
	}
	r.spool = spoolIn(f)
	index, err := r.awaitReading(f)
	if errors.Is(err, errTorn) {
		return r.makeReading()
	}
	if err != nil {
		return found, err
	}
	r.spool = spoolOf(f, index, r.Shard)
	if kept != nil && len(r.spool.sums.unreadPlaces()) > 0 { // this start may read more
		r.spool.close()
		return r.readAlone()
	}
	r.Log.Info("the lots were read by another part", "file", f.Name())
	found = index.Found
	if found.Inputs, err = found.inputs(r.stop.Soon); r.stop.Soon.Err() != nil {
		return found, ErrStopped
	}
	return found, err
}

// awaitReading is the index of a kept reading once it is whole. Where no other is about to
// make it, it returns errTorn and the file is this process's to write.
func (r *run) awaitReading(f *os.File) (readingIndex, error) {
	for waits := 0; ; waits++ {
		locked := lock(f) == nil // before the look: who made it has let go of it
		index, err := indexIn(f)
		if err == nil {
			return index, unlock(f)
		}
		if locked {
			return index, errTorn
		}
		if waits == 0 {
			r.Log.Info("another part reads the lots")
		}
		select {
		case <-r.stop.Soon.Done():
			return index, ErrStopped
		case <-time.After(sharedPoll):
		}
	}
}

// makeReading reads the lots for all shards, into the file that this one has locked.
func (r *run) makeReading() (found reading, err error) {
	f := r.spool.file
	if err := f.Truncate(0); err != nil {
		return found, err
	}
	if found, err = r.read(); err == nil {
		err = r.spool.keep(found)
	}
	if err != nil {
		return found, errors.Join(err, f.Truncate(0))
	}
	return found, unlock(f)
}

// sharedPoll is how often a shard looks whether another has read the lots.
const sharedPoll = 200 * time.Millisecond

// keep completes a spool that others read.
func (s *spool) keep(found reading) error {
	index := readingIndex{Found: found, Bad: map[uint32]Fault{}, SameGround: s.sameGround, Unnamed: s.unnamed, SameName: s.sameName}
	for _, spot := range s.spots {
		index.Places = append(index.Places, spot.place)
		index.At = append(index.At, s.at[spot.place])
		index.Sums = append(index.Sums, s.sums[spot.place])
	}
	for place, fault := range s.bad {
		index.Bad[place] = *fault
	}
	var body bytes.Buffer
	if err := gob.NewEncoder(&body).Encode(index); err != nil {
		return err
	}
	for _, b := range [][]byte{body.Bytes(), binary.LittleEndian.AppendUint64(nil, uint64(s.size))} {
		text, err := frame{kind: kindEnd, body: b}.append(nil)
		if err != nil {
			return err
		}
		if _, err := s.file.Write(text); err != nil {
			return fmt.Errorf("the lots that were read cannot be kept; free some space: %w", err)
		}
		if err := s.file.Sync(); err != nil { // the tail says that all before it is there
			return err
		}
	}
	return nil
}

// indexIn reads the index of a kept reading; an error where it is not whole.
func indexIn(f *os.File) (readingIndex, error) {
	info, err := f.Stat()
	if err != nil {
		return readingIndex{}, err
	}
	return indexOf(f, info.Size())
}

// indexOf is indexIn of so many bytes.
func indexOf(f io.ReaderAt, size int64) (index readingIndex, err error) {
	if size < tailBytes {
		return index, errTorn
	}
	tail, _, err := readFrameAt(f, size-tailBytes, nil)
	if err != nil || len(tail.body) != 8 {
		return index, errTorn
	}
	at := binary.LittleEndian.Uint64(tail.body)
	if at >= uint64(size) {
		return index, errTorn
	}
	body, _, err := readFrameAt(f, int64(at), nil)
	if err != nil {
		return index, err
	}
	if err := gob.NewDecoder(bytes.NewReader(body.body)).Decode(&index); err != nil {
		return index, err
	}
	if n := len(index.Places); len(index.At) != n || len(index.Sums) != n {
		return index, errTorn
	}
	return index, nil
}

// spoolOf is the spool of a kept reading with the lots of a shard.
func spoolOf(f *os.File, index readingIndex, shard Shard) *spool {
	s := spoolIn(f)
	s.unnamed, s.sameName = index.Unnamed, index.SameName
	if index.SameGround != nil {
		s.sameGround = index.SameGround
	}
	from, to := shard.part(len(index.Places))
	for i, place := range index.Places {
		s.spots = append(s.spots, spot{place: place})
		s.sums[place] = index.Sums[i]
		if i >= from && i < to {
			s.at[place] = index.At[i]
		}
	}
	for place, fault := range index.Bad {
		s.bad[place] = &fault
	}
	return s
}
