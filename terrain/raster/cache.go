package raster

import (
	"container/list"
	"context"
	"math"
	"sync"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
)

// Cache keeps decoded blocks of rasters, so that many small places which share
// blocks cost one decoding of each. GDAL's own cache belongs to a handle, goes
// when that is closed, and counts nothing.
//
// Blocks are those of the file, never changed once decoded, and known by the
// raster's path: closing and opening a raster again loses none. The least
// recently used are dropped. Blocks larger than a quarter of the cache are not
// kept: they are read as if there were none. Goroutines may share a Cache, each with
// rasters of its own: a block that one decodes the others wait for.
type Cache struct {
	most   int64 // bytes
	mu     sync.Mutex
	coming map[blockKey]chan struct{} // blocks that are being decoded; closed when they are
	ids    map[string]int             // of rasters, by path
	seen   [][]uint64                 // of each raster, a bit for each block that was wanted
	blocks map[blockKey]*list.Element
	recent list.List // of *block, the one used last at the front
	counts CacheCounts
}

// CacheCounts say what a cache did.
type CacheCounts struct {
	Touched int   // different blocks that were wanted
	Decoded int   // times that a block was decoded
	Served  int   // times that a block was wanted
	Bytes   int64 // held now
}

type blockKey struct{ raster, col, row int }

// block holds stored values, NaN where the raster's mask marks a void: as float32
// where that holds every value of the band's type.
type block struct {
	key    blockKey
	cols   int
	narrow []float32
	wide   []float64
}

func (b *block) bytes() int64 { return int64(4*len(b.narrow) + 8*len(b.wide)) }

// NewCache makes a cache that holds at most so many bytes of heights.
func NewCache(most int64) *Cache {
	return &Cache{most: most, coming: map[blockKey]chan struct{}{}, ids: map[string]int{}, blocks: map[blockKey]*list.Element{}}
}

// Counts returns what was done so far.
func (c *Cache) Counts() CacheCounts {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.counts
}

// largestShare is the share of a cache that one block may take.
const largestShare = 4

// cached is how a raster is read through a cache.
type cached struct {
	cache         *Cache
	id            int
	width, height int // of a block
	across        int // blocks in a row of them
	wide          bool
}

// readThrough makes a raster be read through a cache, unless its blocks are too
// large to be kept.
func (r *Raster) readThrough(c *Cache) {
	st := r.band.Structure()
	k := &cached{cache: c, width: st.BlockSizeX, height: st.BlockSizeY, wide: true}
	bytes := int64(8)
	switch st.DataType {
	case godal.Byte, godal.UInt16, godal.Int16, godal.Float32:
		k.wide, bytes = false, 4 // float32 holds them exactly
	}
	if int64(k.width)*int64(k.height)*bytes > c.most/largestShare {
		return
	}
	k.across = (r.Source.Cols + k.width - 1) / k.width
	c.mu.Lock()
	defer c.mu.Unlock()
	id, known := c.ids[r.Source.Path]
	if !known {
		id = len(c.seen)
		c.ids[r.Source.Path] = id
		down := (r.Source.Rows + k.height - 1) / k.height
		c.seen = append(c.seen, make([]uint64, (k.across*down+63)/64))
	}
	k.id = id
	r.cached = k
}

// window copies a window of a raster's stored values, block by block.
func (k *cached) window(ctx context.Context, r *Raster, w terrain.Window, out []float64) error {
	for row := w.Row0 / k.height; row*k.height < w.Row1; row++ {
		for col := w.Col0 / k.width; col*k.width < w.Col1; col++ {
			of := terrain.NewWindow(col*k.width, row*k.height, (col+1)*k.width, (row+1)*k.height).In(r.Extent())
			b, err := k.block(ctx, r, col, row, of)
			if err != nil {
				return err
			}
			b.copyTo(out, w, of)
		}
	}
	return nil
}

// copyTo copies the part of a block, which is the window of, that lies in w.
func (b *block) copyTo(out []float64, w, of terrain.Window) {
	part := w.In(of)
	for row := part.Row0; row < part.Row1; row++ {
		dst := out[(row-w.Row0)*w.Cols()+part.Col0-w.Col0:][:part.Cols()]
		at := (row-of.Row0)*b.cols + part.Col0 - of.Col0
		if b.wide != nil {
			copy(dst, b.wide[at:])
			continue
		}
		for i, v := range b.narrow[at : at+len(dst)] {
			dst[i] = float64(v)
		}
	}
}

// block is a block of a raster, decoded now or earlier.
func (k *cached) block(ctx context.Context, r *Raster, col, row int, of terrain.Window) (*block, error) {
	c, key := k.cache, blockKey{k.id, col, row}
	b, err := c.find(ctx, key, row*k.across+col)
	if b != nil || err != nil {
		return b, err
	}
	b, err = r.decode(ctx, of, k.wide)
	c.mu.Lock()
	defer c.mu.Unlock()
	close(c.coming[key])
	delete(c.coming, key)
	if err != nil {
		return nil, err
	}
	b.key = key
	c.keep(b)
	return b, nil
}

// find returns the block of a key, the nth of its raster, once another goroutine has
// decoded it; nil where the caller is to do so.
func (c *Cache) find(ctx context.Context, key blockKey, n int) (*block, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.note(key, n)
	for {
		if e := c.blocks[key]; e != nil {
			c.recent.MoveToFront(e)
			return e.Value.(*block), nil
		}
		other := c.coming[key]
		if other == nil {
			c.coming[key] = make(chan struct{})
			return nil, nil
		}
		c.mu.Unlock()
		select {
		case <-other:
		case <-ctx.Done():
		}
		c.mu.Lock()
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
}

// note counts a block that is wanted, the nth of its raster.
func (c *Cache) note(key blockKey, n int) {
	c.counts.Served++
	word, bit := &c.seen[key.raster][n/64], uint64(1)<<(n%64)
	if *word&bit == 0 {
		*word |= bit
		c.counts.Touched++
	}
}

// keep takes a block in, and drops those used longest ago to make room for it.
func (c *Cache) keep(b *block) {
	c.counts.Decoded++
	c.counts.Bytes += b.bytes()
	for c.counts.Bytes > c.most && c.recent.Len() > 0 {
		last := c.recent.Remove(c.recent.Back()).(*block)
		c.counts.Bytes -= last.bytes()
		delete(c.blocks, last.key)
	}
	c.blocks[b.key] = c.recent.PushFront(b)
}

// decode reads a window of stored values, which is a block.
func (r *Raster) decode(ctx context.Context, w terrain.Window, wide bool) (*block, error) {
	b := &block{cols: w.Cols()}
	n := w.Cols() * w.Rows()
	var values any
	if wide {
		b.wide = make([]float64, n)
		values = b.wide
	} else {
		b.narrow = make([]float32, n)
		values = b.narrow
	}
	if err := r.readInto(ctx, r.band, w, values, w.Cols(), w.Rows()); err != nil {
		return nil, err
	}
	if r.mask == nil {
		return b, nil
	}
	mask := make([]byte, n)
	if err := r.readInto(ctx, *r.mask, w, mask, w.Cols(), w.Rows()); err != nil {
		return nil, err
	}
	for i, m := range mask {
		switch {
		case m != 0:
		case b.wide != nil:
			b.wide[i] = math.NaN()
		default:
			b.narrow[i] = float32(math.NaN())
		}
	}
	return b, nil
}
