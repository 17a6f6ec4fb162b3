package osm

import (
	"bufio"
	"bytes"
	"context"
	"encoding/binary"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func errorOf(file []byte) error {
	_, err := read(context.Background(), reading(file), Options{Lots: lotBox})
	return err
}

// A download that broke off must not read as a map with less on it.
func TestFilesThatAreCutOffAreRefused(t *testing.T) {
	whole := village().pbf()
	header := 4 + int(binary.BigEndian.Uint32(whole)) // of the first block, whose data follow
	for n := range whole {
		err := errorOf(whole[:n])
		require.Error(t, err, "%d of %d bytes", n, len(whole))
		if n > header+4 {
			assert.NotContains(t, err.Error(), "EOF", "%d bytes", n)
		}
	}
	text := village().xml()
	for n := 0; n < len(text)-1; n += 7 {
		if bytes.Contains(text[:n], []byte("</osm>")) {
			continue
		}
		assert.Error(t, errorOf(text[:n]), "%d of %d bytes", n, len(text))
	}
}

// Every number that a block tells of itself may be a lie.
func TestDamagedBlocksAreRefused(t *testing.T) {
	data := func(fill func(block, group *wireWriter)) []byte {
		head := &wireWriter{}
		head.text(4, "OsmSchema-V0.6")
		block, group := &wireWriter{}, &wireWriter{}
		fill(block, group)
		block.sub(2, group.bytes())
		return append(blockOf("OSMHeader", head.bytes(), false), blockOf("OSMData", block.bytes(), true)...)
	}
	node := func(lat, lon int64, keys, values uint64) *wireWriter {
		n := &wireWriter{}
		n.number(1, 2)
		n.number(8, uint64(lat<<1)^uint64(lat>>63))
		n.number(9, uint64(lon<<1)^uint64(lon>>63))
		if keys > 0 {
			var k, v wireWriter
			k.varint(keys)
			v.varint(values)
			n.sub(2, k.bytes())
			n.sub(3, v.bytes())
		}
		return n
	}
	for name, file := range map[string][]byte{
		"a word beyond the table": data(func(_, group *wireWriter) { group.sub(1, node(450000000, 100000, 7, 1).bytes()) }),
		"a place off the earth":   data(func(_, group *wireWriter) { group.sub(1, node(950000000, 0, 0, 0).bytes()) }),
		"more ids than places": data(func(_, group *wireWriter) {
			var ids, dense wireWriter
			ids.signed(1)
			ids.signed(1)
			dense.sub(1, ids.bytes())
			group.sub(2, dense.bytes())
		}),
		"a member without a role": data(func(block, group *wireWriter) {
			var refs, r wireWriter
			refs.signed(5)
			r.number(1, 1)
			r.sub(9, refs.bytes())
			group.sub(4, r.bytes())
		}),
		"a group that is none": data(func(block, _ *wireWriter) { block.sub(2, []byte{0xff, 0xff}) }),
		"a number without end": data(func(_, group *wireWriter) {
			var dense wireWriter
			dense.sub(1, []byte{0x80})
			group.sub(2, dense.bytes())
		}),
	} {
		assert.EqualError(t, errorOf(file), errWire.Error(), name)
	}
	good := blockOf("OSMHeader", nil, false)
	size := func(n uint32) []byte { return binary.BigEndian.AppendUint32(nil, n) }
	assert.ErrorContains(t, errorOf(append(good, size(1<<31)...)), "the header of a block says that it has 2147483648 bytes, and 65536 are the most")
	for _, n := range []uint64{1 << 40, 1<<31 - 1, 1 << 31, 1<<64 - 1} { // the last two are below 0
		head := &wireWriter{}
		head.text(1, "OSMData")
		head.number(3, n)
		file := append(append(bytes.Clone(good), size(uint32(len(head.bytes())))...), head.bytes()...)
		assert.Error(t, errorOf(file), "%d", n)
	}
	bomb := blockOf("OSMData", make([]byte, mostBlock+1), true)
	assert.ErrorContains(t, errorOf(append(bytes.Clone(good), bomb...)), "unpacks to more than 33554432 bytes")
	history := &wireWriter{}
	history.text(4, "HistoricalInformation")
	assert.ErrorContains(t, errorOf(blockOf("OSMHeader", history.bytes(), false)), "holds the history of the map")
	other := &wireWriter{}
	other.text(4, "Sorted2")
	assert.ErrorContains(t, errorOf(blockOf("OSMHeader", other.bytes(), false)), `asks its reader for "Sorted2"`)
}

func TestDamagedTextIsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"<osm><node id='x' lat='45' lon='0'/></osm>":                                                `line 1: the id "x" of a node is no number`,
		"<osm>\n<node id='1' lat='95' lon='0'/></osm>":                                              `line 2: node 1 lies at lon "0", lat "95", which is not on earth`,
		"<osm><node id='1' lat='NaN' lon='0'/></osm>":                                               `lat "NaN", which is not on earth`,
		"<osm><way id='1'><nd ref=''/></way></osm>":                                                 `way 1 refers to "", which is no number`,
		"<osm><way id='1'><way id='2'/></way></osm>":                                                "a <way> lies in another element",
		"<osm><relation id='1'><member type='area' ref='1'/></relation></osm>":                      `relation 1 has a member of type "area"`,
		"<osm></node></osm>":                                                                        "a <node> ends that did not begin",
		"<osm>\x00</osm>":                                                                           "line 1: is damaged: ",
		"<osm><remark> runtime error: Query timed out </remark></osm>":                              "is not whole, its server says: runtime error: Query timed out; ask again",
		"<osmChange><modify><node id='1' lat='45' lon='0'/></modify></osmChange>":                   "is no OpenStreetMap extract: give .osm or .osm.pbf",
		"<osm>" + strings.Repeat("<node id='1' lat='45' lon='0'><tag k='a' v='&bomb;'/></node>", 1): "is damaged",
	} {
		assert.ErrorContains(t, errorOf([]byte(text)), want, text)
	}
	// What its editor has deleted is gone.
	x, err := read(t.Context(), reading([]byte("<osm><node id='2' lat='45' lon='0.01'/><node id='1' action='delete' lat='45' lon='0.01'><tag k='power' v='pole'/></node></osm>")), Options{Lots: lotBox})
	require.NoError(t, err)
	assert.Empty(t, x.Features)
}

// A relation of a hundred thousand ways that all meet in one node is chained in no more steps.
func TestChainsOfWaysThatMeetInOneNode(t *testing.T) {
	var ways [][]int64
	for i := range int64(100_000) {
		ways = append(ways, []int64{i + 1, 0})
	}
	assert.Equal(t, 50_000, len(chains(ways)))
}

func TestReadEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, file := range [][]byte{village().xml(), village().pbf()} {
		_, err := read(ctx, reading(file), Options{Lots: lotBox})
		assert.ErrorIs(t, err, context.Canceled)
	}
}

// Whatever a file holds, reading it ends in features that can be laid, or in an error.
func FuzzRead(f *testing.F) {
	m := village()
	f.Add(m.pbf())
	f.Add(m.xml())
	f.Add([]byte("<osm><node id='1' lat='45' lon='0.01'><tag k='power' v='pole'/></node></osm>"))
	f.Fuzz(func(t *testing.T, file []byte) {
		x, err := read(t.Context(), reading(file), Options{Lots: lotBox})
		if err != nil {
			return
		}
		for _, feature := range x.Features {
			if err := feature.Check(); err != nil {
				t.Fatal(err)
			}
			if !near(feature.Geometry, Kept(lotBox)).Bound().Intersects(Kept(lotBox)) {
				t.Fatalf("%v is kept and lies elsewhere", feature)
			}
		}
	})
}

// Blocks are packed, which hides them from a fuzzer: here it writes what they hold.
func FuzzBlock(f *testing.F) {
	p := &pbf{in: bufio.NewReader(bytes.NewReader(village().pbf()))}
	for range 2 {
		_, data, err := p.next()
		require.NoError(f, err)
		f.Add(bytes.Clone(data))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file := append(blockOf("OSMHeader", nil, false), blockOf("OSMData", data, false)...)
		if x, err := read(t.Context(), reading(file), Options{Lots: orb.Bound{Min: orb.Point{-1, -1}, Max: orb.Point{1, 1}}}); err == nil {
			for _, feature := range x.Features {
				if err := feature.Check(); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}
