package lots

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
)

// lotSums are digests of what makes a lot's map, by place: its name and ground. They tell
// whether a run has the lots of an earlier one. That of a lot which could not be read, though
// it may be sound, is [unreadSum], and like every other.
type lotSums map[uint32]uint64

const unreadSum = 0

// sumOfLot is the digest of a lot.
func sumOfLot(h lotHead, ground []byte) uint64 {
	if h.Unread {
		return unreadSum
	}
	d := sha256.New()
	d.Write(binary.AppendUvarint(nil, uint64(len(h.Lot))))
	d.Write([]byte(h.Lot))
	if h.Fault != nil {
		d.Write([]byte{1})
	}
	d.Write(ground)
	return max(binary.LittleEndian.Uint64(d.Sum(nil)), unreadSum+1)
}

// unreadPlaces lists the lots that could not be read.
func (s lotSums) unreadPlaces() map[int]bool {
	out := map[int]bool{}
	for place, sum := range s {
		if sum == unreadSum {
			out[int(place)] = true
		}
	}
	return out
}

// changes says in words what differs from earlier lots, nil where nothing does.
func (s lotSums) changes(from lotSums) []string {
	var first uint32
	n := 0
	note := func(place uint32) {
		if n++; n == 1 || place < first {
			first = place
		}
	}
	for place, sum := range s {
		if was, known := from[place]; !known || was != sum && was != unreadSum && sum != unreadSum {
			note(place)
		}
	}
	for place := range from {
		if _, known := s[place]; !known {
			note(place)
		}
	}
	if n == 0 {
		return nil
	}
	return []string{fmt.Sprintf("lots was %s, is %s (%d of the file are new, gone or changed, the first at place %d)", from, s, n, first)}
}

// String is how many they are, and a digest of all.
func (s lotSums) String() string {
	sum := sha256.Sum256(s.append(nil))
	return fmt.Sprintf("%d, digest %x", len(s), sum[:8])
}

// append writes the sums in the order of the file.
func (s lotSums) append(b []byte) []byte {
	last := uint32(0)
	for _, place := range slices.Sorted(maps.Keys(s)) {
		b = binary.AppendUvarint(b, uint64(place-last))
		b = binary.LittleEndian.AppendUint64(b, s[place])
		last = place
	}
	return b
}

// lotSumsIn reads what append wrote.
func lotSumsIn(b []byte) (lotSums, error) {
	s := lotSums{}
	r := bytes.NewReader(b)
	last := uint64(0)
	for r.Len() > 0 {
		step, err := binary.ReadUvarint(r)
		var sum uint64
		if err = cmp.Or(err, binary.Read(r, binary.LittleEndian, &sum)); err != nil || last+step > 1<<32-1 {
			return nil, errTorn
		}
		last += step
		s[uint32(last)] = sum
	}
	return s, nil
}
