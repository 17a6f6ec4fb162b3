package text_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/text"
)

// Figures are rounded; ground and limits too small to show are not written as none.
func TestFigures(t *testing.T) {
	for want, got := range map[string]string{
		"1,234.6": text.Acres(1234.56, 1), "1,234.56": text.Acres(1234.56, 2),
		"<0.1": text.Acres(0.049, 1), "<0.01": text.Acres(0.004, 2), "0.0": text.Acres(0, 1),
		"1,235": text.Acres(1234.56, 0), "<1": text.Acres(0.4, 0), "0": text.Acres(0, 0),
		"-": text.SlopePct(math.NaN()), "34.9%": text.SlopePct(34.94),
		"32.5%": text.LimitPct(32.5), "30%": text.LimitPct(30), "<0.0001%": text.LimitPct(0.00004),
		"0%": text.Share(0, 10), "<1%": text.Share(0.04, 10), "50%": text.Share(5, 10), ">99%": text.Share(9.99, 10), "100%": text.Share(10, 10),
		"1,000,000": text.Grouped(1e6, 0), "-999.5": text.Grouped(-999.5, 1), "-1,000": text.Grouped(-1000, 0),
	} {
		assert.Equal(t, want, got)
	}
	assert.Equal(t, "0%", text.Share(1, math.NaN()))
}

// The sheet once said "1 working days".
func TestDays(t *testing.T) {
	for days, want := range map[float64]string{0: "0 working days", 0.5: "0.5 working days", 1: "1 working day", 1.5: "1.5 working days", 12: "12 working days"} {
		assert.Equal(t, want, text.WorkingDays(days))
	}
	assert.Equal(t, "2.5", text.Days(2.5))
	assert.Equal(t, "10", text.Days(10))
}
