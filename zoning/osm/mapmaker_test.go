package osm

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"html"
	"io"
	"math"
	"strings"
)

// drawnMap is a map of a test, which writes itself in both forms.
type drawnMap struct{ elements []element }

func (m *drawnMap) node(id int64, lon, lat float64, tags ...string) {
	m.elements = append(m.elements, element{kind: node, id: id, at: [2]float64{lon, lat}, tags: pairs(tags)})
}

func (m *drawnMap) way(id int64, refs []int64, tags ...string) {
	m.elements = append(m.elements, element{kind: way, id: id, refs: refs, tags: pairs(tags)})
}

func (m *drawnMap) relation(id int64, members []member, tags ...string) {
	m.elements = append(m.elements, element{kind: relation, id: id, members: members, tags: pairs(tags)})
}

// line draws a way through places, with nodes from first on.
func (m *drawnMap) line(id, first int64, places [][2]float64, tags ...string) {
	var refs []int64
	for i, p := range places {
		m.node(first+int64(i), p[0], p[1])
		refs = append(refs, first+int64(i))
	}
	m.way(id, refs, tags...)
}

// ring draws one that comes back to its start.
func (m *drawnMap) ring(id, first int64, places [][2]float64, tags ...string) {
	var refs []int64
	for i, p := range places {
		m.node(first+int64(i), p[0], p[1])
		refs = append(refs, first+int64(i))
	}
	m.way(id, append(refs, first), tags...)
}

func pairs(words []string) (out []tag) {
	for i := 0; i+1 < len(words); i += 2 {
		out = append(out, tag{words[i], words[i+1]})
	}
	return out
}

// xml writes the map by the format's own wiki page.
func (m *drawnMap) xml() []byte {
	var b strings.Builder
	b.WriteString("<?xml version='1.0' encoding='UTF-8'?>\n<!-- drawn -->\n<osm version=\"0.6\">\n<meta osm_base=\"2026-11-01T00:00:00Z\"/>\n")
	for _, e := range m.elements {
		fmt.Fprintf(&b, "<%s id=\"%d\"", e.kind, e.id)
		if e.kind == node {
			fmt.Fprintf(&b, " lat=\"%.7f\" lon=\"%.7f\"", e.at[1], e.at[0])
		}
		b.WriteString(">")
		for _, r := range e.refs {
			fmt.Fprintf(&b, "<nd ref=\"%d\"/>", r)
		}
		for _, r := range e.members {
			fmt.Fprintf(&b, "<member type=\"%s\" ref=\"%d\" role=\"%s\"/>", r.kind, r.id, r.role)
		}
		for _, t := range e.tags {
			fmt.Fprintf(&b, "<tag k=\"%s\" v=\"%s\"/>", html.EscapeString(t.key), html.EscapeString(t.value))
		}
		fmt.Fprintf(&b, "</%s>\n", e.kind)
	}
	b.WriteString("</osm>\n")
	return []byte(b.String())
}

// pbf writes the map by the format's osmformat.proto: nodes in columns, zlib.
func (m *drawnMap) pbf() []byte {
	w := &wireWriter{}
	w.text(4, "OsmSchema-V0.6")
	w.text(4, "DenseNodes")
	w.number(32, 1793491200) // 2026-11-01, 00:00:00 UTC
	out := blockOf("OSMHeader", w.bytes(), true)

	words := map[string]uint64{"": 0}
	list := []string{""}
	word := func(s string) uint64 {
		n, ok := words[s]
		if !ok {
			n = uint64(len(list))
			words[s], list = n, append(list, s)
		}
		return n
	}
	var ids, lats, lons, tags wireWriter
	group := &wireWriter{}
	var lastID, lastLat, lastLon int64
	var others []wireWriter
	for _, e := range m.elements {
		var keys, values wireWriter
		for _, t := range e.tags {
			keys.varint(word(t.key))
			values.varint(word(t.value))
		}
		switch e.kind {
		case node:
			lat, lon := int64(math.Round(e.at[1]*1e7)), int64(math.Round(e.at[0]*1e7))
			ids.signed(e.id - lastID)
			lats.signed(lat - lastLat)
			lons.signed(lon - lastLon)
			lastID, lastLat, lastLon = e.id, lat, lon
			for _, t := range e.tags {
				tags.varint(word(t.key))
				tags.varint(word(t.value))
			}
			tags.varint(0)
		case way:
			var one, refs wireWriter
			last := int64(0)
			for _, r := range e.refs {
				refs.signed(r - last)
				last = r
			}
			one.number(1, uint64(e.id))
			one.sub(2, keys.bytes())
			one.sub(3, values.bytes())
			one.sub(8, refs.bytes())
			w := wireWriter{}
			w.sub(3, one.bytes())
			others = append(others, w)
		case relation:
			var one, roles, refs, kinds wireWriter
			last := int64(0)
			for _, r := range e.members {
				roles.varint(word(r.role))
				refs.signed(r.id - last)
				kinds.varint(uint64(r.kind))
				last = r.id
			}
			one.number(1, uint64(e.id))
			one.sub(2, keys.bytes())
			one.sub(3, values.bytes())
			one.sub(8, roles.bytes())
			one.sub(9, refs.bytes())
			one.sub(10, kinds.bytes())
			w := wireWriter{}
			w.sub(4, one.bytes())
			others = append(others, w)
		}
	}
	dense := &wireWriter{}
	dense.sub(1, ids.bytes())
	dense.sub(8, lats.bytes())
	dense.sub(9, lons.bytes())
	dense.sub(10, tags.bytes())
	group.sub(2, dense.bytes())
	table := &wireWriter{}
	for _, s := range list {
		table.text(1, s)
	}
	data := &wireWriter{}
	data.sub(2, group.bytes()) // before the words, which it may be
	for _, o := range others {
		data.sub(2, o.bytes())
	}
	data.sub(1, table.bytes())
	return append(out, blockOf("OSMData", data.bytes(), true)...)
}

// blockOf writes a block of a file.
func blockOf(name string, data []byte, zipped bool) []byte {
	blob := &wireWriter{}
	if zipped {
		var b bytes.Buffer
		z := zlib.NewWriter(&b)
		_, _ = z.Write(data)
		_ = z.Close()
		blob.number(2, uint64(len(data)))
		blob.sub(3, b.Bytes())
	} else {
		blob.sub(1, data)
	}
	head := &wireWriter{}
	head.text(1, name)
	head.number(3, uint64(len(blob.bytes())))
	out := binary.BigEndian.AppendUint32(nil, uint32(len(head.bytes())))
	return append(append(out, head.bytes()...), blob.bytes()...)
}

// wireWriter writes a protocol buffer.
type wireWriter struct{ b []byte }

func (w *wireWriter) bytes() []byte   { return w.b }
func (w *wireWriter) varint(v uint64) { w.b = binary.AppendUvarint(w.b, v) }
func (w *wireWriter) signed(v int64)  { w.varint(uint64(v<<1) ^ uint64(v>>63)) }
func (w *wireWriter) number(field int, v uint64) {
	w.varint(uint64(field) << 3)
	w.varint(v)
}
func (w *wireWriter) sub(field int, b []byte) {
	w.varint(uint64(field)<<3 | wireBytes)
	w.varint(uint64(len(b)))
	w.b = append(w.b, b...)
}
func (w *wireWriter) text(field int, s string) { w.sub(field, []byte(s)) }

func reading(b []byte) io.ReadSeeker { return bytes.NewReader(b) }
