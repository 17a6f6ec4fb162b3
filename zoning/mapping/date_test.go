package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSurveyDates(t *testing.T) {
	for _, d := range []string{"2019", "2019-06", "2019-06-30"} {
		assert.NoError(t, CheckDate(d))
	}
	for _, d := range []string{"", "19", "2019-13", "06/2019", "2019-6"} {
		assert.ErrorContains(t, CheckDate(d), "write 2019, 2019-06 or 2019-06-30", d)
	}
	for _, c := range []struct {
		surveyed, oldest string
		old              bool
	}{
		{"2016", "2018", true}, {"2018", "2018", false}, {"2018-03", "2018", false}, {"2018-03", "2018-04", true},
		{"2018", "2018-04", false}, {"", "2018", false}, {"2016", "", false},
	} {
		assert.Equal(t, c.old, Options{Surveyed: c.surveyed, OldestSurvey: c.oldest}.tooOld(), "%v", c)
	}
}
