package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A row of pieces may be hundreds, and several goroutines open them: no more than some stay open,
// and each is read again.
func TestFewFilesOfPiecesAreOpen(t *testing.T) {
	p := Parting{16*mostPieceFiles + 20, 16, 16, 16}
	pieces, _ := partsOf(t, t.TempDir(), p, make([]uint8, p.Cols*p.Rows))
	require.Len(t, pieces, mostPieceFiles+2)
	files := pieceFiles{of: pieces}
	most := 0
	for range 3 {
		for i, piece := range pieces {
			f, err := files.open(i)
			require.NoError(t, err)
			require.Equal(t, piece.Path, f.Name())
			_, err = f.ReadAt(make([]byte, 1), 0)
			require.NoError(t, err)
			most = max(most, len(files.opened))
		}
	}
	assert.Equal(t, mostPieceFiles, most)
	require.NoError(t, files.close())
	assert.Empty(t, files.opened)
}
