package page

// onPage are settings that stand on the page or in the file that was opened, as they are
// called there.
var onPage = map[string]string{
	"cautious":       "“allow for elevation error”",
	"cover":          "what grows there",
	"staging":        "staging, under “On the ground”",
	"travel":         "travel",
	"parcel-crs":     "the file’s own coordinate system",
	"site":           "a site file on the command line",
	"site-crs":       "the file’s own coordinate system",
	"elevation-crs":  "the elevation’s own coordinate system",
	"elevation-unit": "the unit given with it",
	"surface-crs":    "the surface’s own coordinate system",
	"file-crs":       "“Coordinate system”",
	"file-unit":      "“Heights are in”",
	"surface-unit":   "“Heights are in”",
	"repair":         "a clean outline, drawn here",
	"where":          "the lots that were asked for",
	"details":        "“Check first”",
	"write":          "“Files, data”",
}

// SettingName is what people who look at a page know a setting by its key as, for
// [github.com/acreband/acreband/terrain/setting.CallThem]. Those that the page does not have
// were set where it was started.
func SettingName(key string) string {
	if words, ok := onPage[key]; ok {
		return words
	}
	return "the start-up setting " + key
}
