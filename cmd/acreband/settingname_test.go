package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Messages on the page told its readers to give flags of a command that they never ran.
func TestSettingsAreNamedForWhoReads(t *testing.T) {
	was := onPage.Swap(false) // a page that another test served may have set it
	defer onPage.Store(was)
	assert.Equal(t, "--cautious", settingName("cautious"))
	onPage.Store(true)
	assert.Equal(t, "“allow for elevation error”", settingName("cautious"))
	assert.Equal(t, "the start-up setting services", settingName("services"))
}
