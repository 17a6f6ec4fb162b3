package write

import (
	"cmp"
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
)

// Outside marks a cell outside the lots in [BandCells].
const Outside = 255

// BandCells is the band of each cell, by its place in [zoning.Bands] of the map's
// fleet; [Outside] beyond the lots. The cells are those the map was made of. A map that
// [zoning.ZoneMap.Check] refuses, a lot without a Coverage and cells that [zoning.Cells.Check]
// refuses are errors.
func BandCells(zm *zoning.ZoneMap, cells *zoning.Cells) ([]uint8, error) {
	if err := cmp.Or(checkOutlined(zm), cells.Check()); err != nil {
		return nil, err
	}
	out := make([]uint8, len(cells.Masks))
	for i, in := range insideLots(zm, cells.Cols, cells.Rows) {
		out[i] = Outside
		if in {
			out[i] = uint8(zm.Fleet.Band(cells.Masks[i]))
		}
	}
	return out, nil
}

// SlopeCells is the slope of each cell in percent; NaN where it is unknown and
// beyond the lots.
func SlopeCells(zm *zoning.ZoneMap, field *slope.Field) ([]float32, error) {
	if err := cmp.Or(checkOutlined(zm), field.Check()); err != nil {
		return nil, err
	}
	out := make([]float32, len(field.Squared))
	for i, in := range insideLots(zm, field.Cols, field.Rows) {
		out[i] = float32(math.NaN())
		if in {
			out[i] = float32(100 * math.Sqrt(float64(field.Squared[i])))
		}
	}
	return out, nil
}

// insideLots marks the cells of a window half of which or more lies in the lots.
func insideLots(zm *zoning.ZoneMap, cols, rows int) []bool {
	inside := make([]bool, cols*rows)
	shares := map[int]float64{} // of cells on boundaries: lots may meet in one
	for _, lot := range zm.Lots {
		lot.Coverage.EachCell(func(col, row int, share float64) {
			if col < 0 || row < 0 || col >= cols || row >= rows {
				return
			}
			i := row*cols + col
			if share < 1 {
				shares[i] += share
				share = shares[i]
			}
			inside[i] = inside[i] || share >= 0.5
		})
	}
	return inside
}
