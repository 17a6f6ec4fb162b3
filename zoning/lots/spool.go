package lots

import (
	"fmt"
	"os"

	"github.com/acreband/acreband/zoning/write"
)

// spool keeps the lots that were read, on disk and not in memory, until they were
// mapped.
type spool struct {
	file  *os.File
	size  int64
	spots []spot
	at    map[uint32]int64 // by place
	sums  lotSums
	buf   []byte

	bad               map[uint32]*Fault // lots that cannot be used, by place
	unnamed, sameName int
	sameGround        map[uint32]int // places of lots with the ground of an earlier one, and its place
}

// newSpool makes a spool in the part of files that are to be written, so that nothing is
// left of it however the run ends.
func newSpool(files *write.Files) (*spool, error) {
	f, err := files.Scratch("lots")
	if err != nil {
		return nil, err
	}
	return spoolIn(f), nil
}

// spoolIn is an empty spool in a file.
func spoolIn(f *os.File) *spool {
	return &spool{file: f, at: map[uint32]int64{}, sameGround: map[uint32]int{}, bad: map[uint32]*Fault{}, sums: lotSums{}}
}

func (s *spool) close() { _ = s.file.Close() } // it is of no more use

// add takes a lot in.
func (s *spool) add(f frame, at spot) (err error) {
	var h lotHead
	if err := f.parseHead(&h); err != nil {
		return err
	}
	if h.Unnamed {
		s.unnamed++
	}
	if h.SameName > 0 {
		s.sameName++
	}
	if h.SameGround > 0 {
		s.sameGround[at.place] = h.SameGround
	}
	if s.buf, err = f.append(s.buf[:0]); err != nil {
		return err
	}
	if _, err := s.file.Write(s.buf); err != nil {
		return fmt.Errorf("the lots that were read cannot be kept; free some space: %w", err)
	}
	s.at[at.place] = s.size
	s.size += int64(len(s.buf))
	s.spots = append(s.spots, at)

	if h.Fault != nil {
		s.bad[at.place] = h.Fault
	}
	s.sums[at.place] = sumOfLot(h, f.body)
	return nil
}

// lot reads a lot again.
func (s *spool) lot(place uint32) (frame, error) {
	f, _, err := readFrameAt(s.file, s.at[place], nil)
	if err != nil {
		return f, fmt.Errorf("%s: the lots that were read cannot be read again: %w; remove the file where it is still there, and start again", s.file.Name(), err)
	}
	return f, nil
}

// failure is the record of a lot that cannot be used.
func (s *spool) failure(place uint32) (frame, error) {
	f, err := s.lot(place)
	if err != nil {
		return f, err
	}
	lot, err := lotOf(f)
	if err != nil {
		return f, err
	}
	return failedLot(lot, faultOf(lot.Err))
}
