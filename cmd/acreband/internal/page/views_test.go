package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The page dots walk-first ground where it is asked to, and the picture to download is as it was.
func TestWalkFirstGroundIsDrawnWhereAsked(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	const view = "/ground.png?x=0&y=0&m=2&w=300&h=300"
	status, plain := s.get("/v1/maps/" + a.ID + view)
	require.Equal(t, 200, status)
	status, dotted := s.get("/v1/maps/" + a.ID + view + "&walk=1")
	require.Equal(t, 200, status)
	assert.NotEqual(t, plain, dotted)
	_, again := s.get("/v1/maps/" + a.ID + view + "&walk=1")
	assert.Equal(t, dotted, again)
}
