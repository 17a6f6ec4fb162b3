package write

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/zoning"
)

// checkOutlined is [zoning.ZoneMap.Check] for what writes the lines round lots too.
func checkOutlined(zm *zoning.ZoneMap) error {
	if err := zm.Check(); err != nil {
		return err
	}
	for _, lot := range zm.Lots {
		if lot.Coverage == nil {
			return fmt.Errorf("lot %s: %w", lot.Lot, errNoCoverage)
		}
	}
	return nil
}

var errNoCoverage = errors.New("it has no coverage, from which its line is drawn; map it with zoning.MapLot or package mapping")
