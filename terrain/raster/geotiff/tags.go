package geotiff

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

var littleEndian = binary.LittleEndian

// Tag is a field of a TIFF's directory, its values little-endian.
type Tag struct {
	ID, Type uint16
	Values   []byte
}

// Types of values, and how many bytes each takes.
const (
	short = 3
	long  = 4
	long8 = 16
)

var typeBytes = map[uint16]int{1: 1, 2: 1, short: 2, long: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, long8: 8, 17: 8}

func shorts(id uint16, v ...uint16) Tag {
	t := Tag{ID: id, Type: short}
	for _, x := range v {
		t.Values = littleEndian.AppendUint16(t.Values, x)
	}
	return t
}

func longs(id uint16, v ...int64) Tag {
	t := Tag{ID: id, Type: long}
	for _, x := range v {
		t.Values = littleEndian.AppendUint32(t.Values, uint32(x))
	}
	return t
}

func longs8(id uint16, v []int64) Tag {
	t := Tag{ID: id, Type: long8}
	for _, x := range v {
		t.Values = littleEndian.AppendUint64(t.Values, uint64(x))
	}
	return t
}

// The tags that [TagsOf] takes: what colours there are, where cells lie, and what they
// mean.
const (
	colourMap = 320
	noData    = 42113
)

var takenTags = []uint16{colourMap, 33550, 33922, 34264, 34735, 34736, 34737, 42112, noData}

// TagsOf takes the tags of place and meaning from a small TIFF that another writer made
// to hold them: little-endian and not a BigTIFF.
func TagsOf(file []byte) ([]Tag, error) {
	if len(file) < 8 || string(file[:4]) != "II*\x00" {
		return nil, errors.New("it is no little-endian TIFF")
	}
	at := int64(littleEndian.Uint32(file[4:]))
	part := func(at, n int64) ([]byte, error) {
		if at < 0 || n < 0 || at+n > int64(len(file)) {
			return nil, fmt.Errorf("the TIFF ends before byte %d", at+n)
		}
		return file[at : at+n], nil
	}
	head, err := part(at, 2)
	if err != nil {
		return nil, err
	}
	entries := int64(littleEndian.Uint16(head))
	list, err := part(at+2, 12*entries)
	if err != nil {
		return nil, err
	}
	var tags []Tag
	for ; len(list) > 0; list = list[12:] {
		t := Tag{ID: littleEndian.Uint16(list), Type: littleEndian.Uint16(list[2:])}
		if !slices.Contains(takenTags, t.ID) {
			continue
		}
		n := int64(littleEndian.Uint32(list[4:])) * int64(typeBytes[t.Type])
		values := list[8:12]
		if n > 4 {
			if values, err = part(int64(littleEndian.Uint32(list[8:])), n); err != nil {
				return nil, err
			}
		}
		t.Values = slices.Clone(values[:n])
		tags = append(tags, t)
	}
	return tags, nil
}
