package osm

import (
	"math"

	"github.com/paulmach/orb"
)

// wanted says which kinds of elements are looked at.
type wanted struct{ nodes, ways, relations bool }

// block reads the elements of one block of the packed form. Numbers of its fields are
// those of the format's osmformat.proto.
type block struct {
	want     wanted
	visit    func(*element) error
	words    [][]byte // by their number
	unit     float64  // of coordinates, in degrees
	lon, lat float64  // of coordinates that are 0, in degrees

	ids, lats, lons []int64
	e               element
}

func (b *block) read(data []byte, visit func(*element) error) error {
	b.visit, b.words, b.unit, b.lon, b.lat = visit, b.words[:0], 100e-9, 0, 0
	// What groups need may stand behind them.
	err := fields(data, func(field int, v uint64, body []byte) error {
		switch field {
		case 1:
			return fields(body, func(field int, _ uint64, s []byte) error {
				if field == 1 {
					b.words = append(b.words, s)
				}
				return nil
			})
		case 17:
			b.unit = float64(int32(v)) * 1e-9
		case 19:
			b.lat = float64(int64(v)) * 1e-9
		case 20:
			b.lon = float64(int64(v)) * 1e-9
		}
		return nil
	})
	if err != nil {
		return err
	}
	return fields(data, func(field int, _ uint64, body []byte) error {
		if field != 2 {
			return nil
		}
		return fields(body, b.group)
	})
}

func (b *block) group(field int, _ uint64, body []byte) error {
	switch {
	case field == 1 && b.want.nodes:
		return b.node(body)
	case field == 2 && b.want.nodes:
		return b.dense(body)
	case field == 3 && b.want.ways:
		return b.way(body)
	case field == 4 && b.want.relations:
		return b.relation(body)
	}
	return nil
}

// begin clears the element.
func (b *block) begin(k kind) *element {
	e := &b.e
	e.kind, e.id, e.at = k, 0, orb.Point{}
	e.tags, e.refs, e.members = e.tags[:0], e.refs[:0], e.members[:0]
	return e
}

// place is where coordinates lie, rounded to the seven decimals that the map has, so that both
// forms of an extract tell the same; not ok off the earth.
func (b *block) place(lon, lat int64) (p orb.Point, ok bool) {
	p = orb.Point{rounded(b.lon + b.unit*float64(lon)), rounded(b.lat + b.unit*float64(lat))}
	return p, onEarth(p)
}

func rounded(degrees float64) float64 { return math.Round(degrees*1e7) / 1e7 }

func onEarth(p orb.Point) bool { return math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90 }

// word is a text by its number.
func (b *block) word(n uint64) (string, error) {
	if n >= uint64(len(b.words)) {
		return "", errWire
	}
	return string(b.words[n]), nil
}

// tags reads keys and values by their numbers.
func (b *block) tags(dst []tag, keys, values packed) ([]tag, error) {
	for len(keys) > 0 {
		k, ok := keys.next()
		v, also := values.next()
		if !ok || !also {
			return dst, errWire
		}
		key, err := b.word(k)
		if err != nil {
			return dst, err
		}
		value, err := b.word(v)
		if err != nil {
			return dst, err
		}
		dst = append(dst, tag{key, value})
	}
	return dst, nil
}

func (b *block) node(body []byte) (err error) {
	e := b.begin(node)
	var keys, values packed
	var lon, lat int64
	err = fields(body, func(field int, v uint64, s []byte) error {
		switch field {
		case 1:
			e.id = zigzag(v)
		case 2:
			keys = s
		case 3:
			values = s
		case 8:
			lat = zigzag(v)
		case 9:
			lon = zigzag(v)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if e.tags, err = b.tags(e.tags, keys, values); err != nil {
		return err
	}
	at, ok := b.place(lon, lat)
	if !ok {
		return errWire
	}
	e.at = at
	return b.visit(e)
}

// dense reads nodes that are written in columns.
func (b *block) dense(body []byte) (err error) {
	var tags packed
	b.ids, b.lats, b.lons = b.ids[:0], b.lats[:0], b.lons[:0]
	err = fields(body, func(field int, _ uint64, s []byte) (err error) {
		switch field {
		case 1:
			b.ids, err = packed(s).deltas(b.ids)
		case 8:
			b.lats, err = packed(s).deltas(b.lats)
		case 9:
			b.lons, err = packed(s).deltas(b.lons)
		case 10:
			tags = s
		}
		return err
	})
	if err != nil {
		return err
	}
	if len(b.lats) != len(b.ids) || len(b.lons) != len(b.ids) {
		return errWire
	}
	for i, id := range b.ids {
		e := b.begin(node)
		e.id = id
		at, ok := b.place(b.lons[i], b.lats[i])
		if !ok {
			return errWire
		}
		e.at = at
		for len(tags) > 0 { // a 0 ends those of a node; none has any where there are none at all
			k, ok := tags.next()
			if !ok {
				return errWire
			}
			if k == 0 {
				break
			}
			v, ok := tags.next()
			if !ok {
				return errWire
			}
			key, err := b.word(k)
			if err != nil {
				return err
			}
			value, err := b.word(v)
			if err != nil {
				return err
			}
			e.tags = append(e.tags, tag{key, value})
		}
		if err := b.visit(e); err != nil {
			return err
		}
	}
	return nil
}

func (b *block) way(body []byte) (err error) {
	e := b.begin(way)
	var keys, values packed
	err = fields(body, func(field int, v uint64, s []byte) (err error) {
		switch field {
		case 1:
			e.id = int64(v)
		case 2:
			keys = s
		case 3:
			values = s
		case 8:
			e.refs, err = packed(s).deltas(e.refs)
		}
		return err
	})
	if err != nil {
		return err
	}
	if e.tags, err = b.tags(e.tags, keys, values); err != nil {
		return err
	}
	return b.visit(e)
}

func (b *block) relation(body []byte) (err error) {
	e := b.begin(relation)
	var keys, values, roles, kinds packed
	b.ids = b.ids[:0]
	err = fields(body, func(field int, v uint64, s []byte) (err error) {
		switch field {
		case 1:
			e.id = int64(v)
		case 2:
			keys = s
		case 3:
			values = s
		case 8:
			roles = s
		case 9:
			b.ids, err = packed(s).deltas(b.ids)
		case 10:
			kinds = s
		}
		return err
	})
	if err != nil {
		return err
	}
	if e.tags, err = b.tags(e.tags, keys, values); err != nil {
		return err
	}
	for _, id := range b.ids {
		r, ok := roles.next()
		k, also := kinds.next()
		if !ok || !also || k > uint64(relation) {
			return errWire
		}
		role, err := b.word(r)
		if err != nil {
			return err
		}
		e.members = append(e.members, member{kind(k), id, role})
	}
	return b.visit(e)
}
