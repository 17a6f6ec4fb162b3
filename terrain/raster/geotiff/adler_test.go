package geotiff

import (
	"bytes"
	standard "hash/adler32"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAdlerIsTheStandardLibrarys(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for n := range 700 {
		for _, data := range [][]byte{noise(r, n, 256), bytes.Repeat([]byte{255}, n)} {
			require.Equal(t, standard.Checksum(data), adler32(data), "%d bytes", n)
		}
	}
	long := bytes.Repeat([]byte{255}, 1<<22+5)
	require.Equal(t, standard.Checksum(long), adler32(long))
}
