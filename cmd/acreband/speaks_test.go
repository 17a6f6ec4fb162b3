package main

import (
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// Words of one system of units that no text of the other holds. A figure that stands as the fleet
// file has it, such as 30000lb, is none: it is echoed as it was written.
var wordsOf = map[string]*regexp.Regexp{
	"us":     regexp.MustCompile(`(?i)\b(?:acres?|ac|ft|feet|miles?|mi|mph|lbs?|pounds|psi|inch(?:es)?)\b|_(?:acres?|ft|miles|lb)\b`),
	"metric": regexp.MustCompile(`(?i)\b(?:hectares?|ha)\b|_hectares?\b`),
}

var (
	unread  = regexp.MustCompile(`(?is)<(script|style)\b.*?</(?:script|style)>|data:image[^"]*`)
	tag     = regexp.MustCompile(`<[^>]*>`)
	written = regexp.MustCompile(`(?i)\$?[\d.,]+(?:/ac|/mi|ac/h|ac/day|mi|mph|lb|ft)\b|\bhaul_miles\b`) // in a fleet file
)

// speaks fails where a file or stdout has a word of the other system than it is said to speak: of a
// PDF and a page what people read.
func speaks(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || wordsOf[args[0]] == nil {
		ts.Fatalf("usage: speaks us|metric FILE...")
	}
	other := map[string]string{"us": "metric", "metric": "us"}[args[0]]
	for _, name := range args[1:] {
		text := ""
		switch filepath.Ext(name) {
		case ".pdf":
			out, err := exec.Command("pdftotext", "-layout", ts.MkAbs(name), "-").Output()
			ts.Check(err)
			text = string(out)
		case ".html":
			text = tag.ReplaceAllString(unread.ReplaceAllString(ts.ReadFile(name), " "), " ")
		default:
			text = ts.ReadFile(name)
		}
		text = written.ReplaceAllString(text, "")
		if len(text) < 20 {
			ts.Fatalf("%s holds no text", name)
		}
		for _, at := range wordsOf[other].FindAllStringIndex(text, 3) {
			ts.Logf("%s: %q", name, strings.Join(strings.Fields(text[max(0, at[0]-60):min(len(text), at[1]+20)]), " "))
			defer ts.Fatalf("%s speaks %s units", name, other)
		}
	}
}
