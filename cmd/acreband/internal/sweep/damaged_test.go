package sweep

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/raster"
)

// A piece that was changed or cut short after it was made is named with what to do about it, and
// that does it: of changed tiles nothing was told but that they are no piece.
func TestADamagedPieceIsNamedWithItsCure(t *testing.T) {
	for what, damage := range map[string]func(text []byte) []byte{
		"a tile":    func(text []byte) []byte { text[1] ^= 4; return text },
		"cut short": func(text []byte) []byte { return text[:len(text)/2] },
	} {
		c := sent{[]string{tiles(t)}, t.TempDir(), 144}.config()
		c.Workers = 1
		stop, cancel := context.WithCancel(t.Context())
		c.Tell = func(_ string, done, _ int) {
			if done == 3 {
				cancel()
			}
		}
		_, err := Run(stop, c)
		require.ErrorIs(t, err, ErrStopped)
		kept, err := filepath.Glob(filepath.Join(c.Dir, keptName, "*"+BandsName+".piece"))
		require.NoError(t, err)
		require.NotEmpty(t, kept)
		text, err := os.ReadFile(kept[0])
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(kept[0], damage(text), 0o666))
		c.Tell = nil
		_, err = Run(t.Context(), c)
		require.ErrorIs(t, err, raster.ErrPiece, what)
		require.ErrorContains(t, err, kept[0]+": it is no piece, or was cut short or damaged; delete that file and start again, which makes it again", what)
		require.NoError(t, os.Remove(kept[0]))
		_, err = Run(t.Context(), c)
		require.NoError(t, err, what)
	}
}
