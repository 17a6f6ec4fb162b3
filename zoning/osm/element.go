package osm

import "github.com/paulmach/orb"

// kind is one of the three things that a map is made of.
type kind uint8

const (
	node kind = iota
	way
	relation
)

var kindWords = [...]string{"node", "way", "relation"}

func (k kind) String() string { return kindWords[k] }

// element is a node, a way or a relation as the file has it. Its slices are good until the
// next is read.
type element struct {
	kind    kind
	id      int64
	at      orb.Point // of a node, WGS84 longitude and latitude
	tags    []tag
	refs    []int64  // of a way, its nodes
	members []member // of a relation
}

type tag struct{ key, value string }

type member struct {
	kind kind
	id   int64
	role string
}

// tagged is the value of a key; "" where it has none.
func tagged(tags []tag, key string) string {
	for _, t := range tags {
		if t.key == key {
			return t.value
		}
	}
	return ""
}
