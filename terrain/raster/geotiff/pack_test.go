package geotiff

import (
	"bytes"
	"compress/zlib"
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// unpack is the standard library's inflate.
func unpack(t testing.TB, packed []byte) []byte {
	t.Helper()
	r, err := zlib.NewReader(bytes.NewReader(packed))
	require.NoError(t, err)
	out, err := io.ReadAll(r)
	require.NoError(t, err)
	return out
}

// unpart undoes the floating-point predictor as the technical note words it: sums from the
// left over all bytes of a row, then the bytes of a value from the four parts.
func unpart(data []byte, cols int) (out []float32) {
	for len(data) > 0 {
		row := bytes.Clone(data[:4*cols])
		data = data[4*cols:]
		for i := 1; i < len(row); i++ {
			row[i] += row[i-1]
		}
		for i := range cols {
			out = append(out, math.Float32frombits(uint32(row[i])<<24|uint32(row[cols+i])<<16|uint32(row[2*cols+i])<<8|uint32(row[3*cols+i])))
		}
	}
	return out
}

func TestBytesComeBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var p Packer
	for _, cells := range [][]uint8{
		{7}, {7, 7}, {7, 7, 7, 7}, bytes.Repeat([]byte{0}, 1<<16), bytes.Repeat([]byte{1, 2}, 999), noise(r, 70000, 256), noise(r, 4096, 2),
		append(noise(r, 300, 5), bytes.Repeat([]byte{3}, 259)...), fibonacci(),
	} {
		require.Equal(t, cells, unpack(t, packed(t, &p, cells)))
	}
	for n := range 600 { // runs of every length
		cells := append([]byte{9, 8}, bytes.Repeat([]byte{5}, n)...)
		require.Equal(t, cells, unpack(t, packed(t, &p, cells)), n)
	}
}

func packed(t testing.TB, p *Packer, cells []uint8) []byte {
	t.Helper()
	out, err := p.Bytes(cells)
	require.NoError(t, err)
	return out
}

func noise(r *rand.Rand, n, of int) []byte {
	out := make([]byte, n)
	for i := range out {
		out[i] = byte(r.IntN(of))
	}
	return out
}

// fibonacci are bytes so unevenly frequent that Huffman's own codes pass 15 bits.
func fibonacci() (out []byte) {
	a, b := 1, 1
	for s := range 24 {
		for i := range a {
			out = append(out, byte(s))
			if i%2 == 0 {
				out = append(out, 200) // no runs
			}
		}
		a, b = b, a+b
	}
	return out
}

func values(t testing.TB, p *Packer, cells []float32, cols int) []byte {
	t.Helper()
	out, err := p.Values(cells, cols)
	require.NoError(t, err)
	return out
}

func TestValuesComeBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var p Packer
	for _, cols := range []int{1, 16, 160, 4096} {
		cells := make([]float32, 16*cols)
		for i := range cells {
			switch r.IntN(8) {
			case 0:
				cells[i] = float32(math.NaN())
			case 1:
				cells[i] = float32(math.Inf(1))
			case 2:
				cells[i] = math.Float32frombits(r.Uint32())
			default:
				cells[i] = float32(r.IntN(6400)) / 64
			}
		}
		got := unpart(unpack(t, values(t, &p, cells, cols)), cols)
		require.Len(t, got, len(cells))
		for i := range cells {
			require.Equal(t, math.Float32bits(cells[i]), math.Float32bits(got[i]), i)
		}
	}
}

// Slopes of noisy ground take less room than by the standard library's deflate at its
// best, and a tile of one value next to none.
func TestValuesTakeLittleRoom(t *testing.T) {
	const cols, rows = 2048, 128
	r := rand.New(rand.NewPCG(5, 6))
	cells := make([]float32, cols*rows)
	for i := range cells {
		x, y := float64(i%cols), float64(i/cols)
		cells[i] = float32(math.Round(64*math.Abs(25+15*math.Sin(x/40)*math.Cos(y/30)+1.8*r.NormFloat64())) / 64)
	}
	var p Packer
	size := len(values(t, &p, cells, cols))
	var best bytes.Buffer
	w, err := zlib.NewWriterLevel(&best, zlib.BestCompression)
	require.NoError(t, err)
	_, err = w.Write(p.bytes)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	t.Logf("%.2f bits a cell, by zlib at its best %.2f", 8*float64(size)/cols/rows, 8*float64(best.Len())/cols/rows)
	require.Less(t, float64(size), 0.91*float64(best.Len()))
	for i := range cells {
		cells[i] = float32(math.NaN())
	}
	require.Less(t, len(values(t, &p, cells, cols)), cols*rows/32)
}

func BenchmarkValues(b *testing.B) {
	const cols, rows = 2048, 128
	r := rand.New(rand.NewPCG(5, 6))
	cells := make([]float32, cols*rows)
	for i := range cells {
		cells[i] = float32(math.Round(64*math.Abs(25+15*math.Sin(float64(i%cols)/40)+1.8*r.NormFloat64())) / 64)
	}
	var p Packer
	b.SetBytes(4 * cols * rows)
	for b.Loop() {
		if _, err := p.Values(cells, cols); err != nil {
			b.Fatal(err)
		}
	}
}
