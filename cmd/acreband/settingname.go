package main

import (
	"sync/atomic"

	"github.com/acreband/acreband/cmd/acreband/internal/page"
)

// onPage is set once messages go to who looks at a page, who has typed no flags.
var onPage atomic.Bool

// settingName is what who reads a message knows a setting by.
func settingName(key string) string {
	if onPage.Load() {
		return page.SettingName(key)
	}
	return "--" + key
}
