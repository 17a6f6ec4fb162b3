package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSurveyDateOfMetadata(t *testing.T) {
	for tag, want := range map[[2]string]string{
		{"ACQUISITION_DATE", "2019-06-30"}: "2019-06-30", {"survey_date", "20190630"}: "2019-06-30", {"Surveyed", "2019"}: "2019",
		{"collection_date", "2019-06"}: "2019-06", {"DATE_ACQUIRED", "2019/06/30"}: "2019-06-30",
		{"collection_date", "last summer"}: "", {"TIFFTAG_DATETIME", "2019:06:30 12:00:00"}: "", {"AREA_OR_POINT", "Area"}: "",
	} {
		assert.Equal(t, want, surveyed(map[string]string{tag[0]: tag[1]}), "%v", tag)
	}
}
