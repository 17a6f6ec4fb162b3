package coverage

import (
	"math"

	"github.com/paulmach/orb"
)

// Middle is the middle of a cell of the window.
func (c *Window) Middle(at [2]int) orb.Point {
	lon, lat := c.Frame.LonLat(float64(c.Col0+at[0])+0.5, float64(c.Row0+at[1])+0.5)
	return orb.Point{lon - 360*math.Round(lon/360), lat}
}

// Azimuth turns a direction on the ground, along a row and at right angles to it, into
// degrees clockwise from true north at a cell.
func (c *Window) Azimuth(at [2]int, along, square float64) float64 {
	col, row := float64(c.Col0+at[0])+0.5, float64(c.Row0+at[1])+0.5
	e, f, g := c.Frame.MetricAt(col, row).Inverse()
	dr := square / math.Sqrt(g-f*f/e)
	dc := (along - dr*f/math.Sqrt(e)) / math.Sqrt(e)
	const stepM = 1
	lon0, lat0 := c.Frame.LonLat(col, row)
	lon1, lat1 := c.Frame.LonLat(col+dc*stepM, row+dr*stepM)
	// Radii of curvature of WGS84 (Snyder 1987, equations 4-18 and 4-20).
	const ecc2 = 0.00669437999014
	sin, cos := math.Sincos(lat0 * math.Pi / 180)
	east := (lon1 - lon0) * cos
	north := (lat1 - lat0) * (1 - ecc2) / (1 - ecc2*sin*sin)
	return math.Mod(math.Atan2(east, north)*180/math.Pi+360, 360)
}
