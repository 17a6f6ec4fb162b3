package terrain

import "math"

// Metric turns height differences per cell into ground slope. With p and q the
// rise along a row (eastward on a north-up raster) and down a column, both in
// metres per cell,
//
//	slope² = A·p² + 2B·p·q + C·q²
//
// where slope is rise over ground run. A, B and C are the inverse of the first
// fundamental form of the grid on the WGS84 ellipsoid, in 1/m², so cells need
// be neither square nor have square corners.
type Metric struct{ A, B, C float64 }

// CellAreaM2 is the ground area of a cell in square metres.
func (m Metric) CellAreaM2() float64 { return 1 / math.Sqrt(m.A*m.C-m.B*m.B) }

// CellM is the ground length of one cell along a row and down a column, in
// metres.
func (m Metric) CellM() (alongRow, downColumn float64) {
	e, _, g := m.Inverse()
	return math.Sqrt(e), math.Sqrt(g)
}

// Inverse returns the first fundamental form of the grid, which turns steps in cells
// into ground length in metres: with dc along a row and dr down a column,
//
//	length² = e·dc² + 2f·dc·dr + g·dr²
func (m Metric) Inverse() (e, f, g float64) {
	det := m.A*m.C - m.B*m.B
	return m.C / det, -m.B / det, m.A / det
}

// LengthM is the ground length in metres of a step of dc cells along a row and dr down a
// column, which need not be whole.
func (m Metric) LengthM(dc, dr float64) float64 {
	return math.Sqrt((m.C*dc*dc - 2*m.B*dc*dr + m.A*dr*dr) / (m.A*m.C - m.B*m.B))
}

// Plane returns the axes that lay cells out flat, true to the ground's lengths: a cell
// lies e·col + f·row metres along the rows and h·row metres square to them.
func (m Metric) Plane() (e, f, h float64) {
	det := m.A*m.C - m.B*m.B
	return math.Sqrt(m.C / det), -m.B / math.Sqrt(m.C*det), 1 / math.Sqrt(m.C)
}

// Plus returns m + t·per, element by element.
func (m Metric) Plus(per Metric, t float64) Metric {
	return Metric{m.A + t*per.A, m.B + t*per.B, m.C + t*per.C}
}

func blend(a, b Metric, t float64) Metric {
	return Metric{a.A*(1-t) + b.A*t, a.B*(1-t) + b.B*t, a.C*(1-t) + b.C*t}
}

// Measure finds the metric at one spot of a grid, and whether the grid is seen
// from above there: its rows run to the right of its columns' way, as south is
// to the right of east. A raster stored south-up is not.
func Measure(col, row float64, locate Locate) (m Metric, fromAbove bool, err error) {
	const delta = 0.5
	five, err := locate.all([][2]float64{{col, row}, {col - delta, row}, {col + delta, row}, {col, row - delta}, {col, row + delta}})
	if err != nil {
		return Metric{}, false, err
	}
	if !onEarth(five) {
		return Metric{}, false, ErrNoPlace
	}
	u, v := tangents(five, delta)
	m, up := metricOf(u, v), earthCentred(five[0])
	if area := m.CellAreaM2(); !(area > 0) || math.IsInf(area, 0) {
		return Metric{}, false, ErrNoPlace
	}
	out := up[0]*(u[1]*v[2]-u[2]*v[1]) + up[1]*(u[2]*v[0]-u[0]*v[2]) + up[2]*(u[0]*v[1]-u[1]*v[0])
	return m, out < 0, nil
}

// tangents differences earth-centred points, for which poles and the
// antimeridian are nothing special: metres per cell along a row and down a
// column.
func tangents(five [][2]float64, delta float64) (u, v [3]float64) {
	w, e := earthCentred(five[1]), earthCentred(five[2])
	n, s := earthCentred(five[3]), earthCentred(five[4])
	for i := range 3 {
		u[i], v[i] = (e[i]-w[i])/(2*delta), (s[i]-n[i])/(2*delta)
	}
	return u, v
}

func metricOf(u, v [3]float64) Metric {
	var ee, ff, gg float64
	for i := range 3 {
		ee, ff, gg = ee+u[i]*u[i], ff+u[i]*v[i], gg+v[i]*v[i]
	}
	det := ee*gg - ff*ff
	return Metric{gg / det, -ff / det, ee / det}
}

// earthCentred is the point of the WGS84 ellipsoid (EPSG:7030) at a longitude
// and latitude, in metres (EPSG method 9602).
func earthCentred(lonLat [2]float64) [3]float64 {
	const a, e2 = SemiMajorM, Eccentricity2
	sinLon, cosLon := math.Sincos(lonLat[0] * (math.Pi / 180))
	sinLat, cosLat := math.Sincos(lonLat[1] * (math.Pi / 180))
	nu := a / math.Sqrt(1-e2*sinLat*sinLat)
	return [3]float64{nu * cosLat * cosLon, nu * cosLat * sinLon, nu * (1 - e2) * sinLat}
}
