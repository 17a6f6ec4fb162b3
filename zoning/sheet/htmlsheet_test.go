package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/xml"
	"html"
	"image/color"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

var tags = regexp.MustCompile(`(?s)<style>.*?</style>|<script>.*?</script>|<svg.*?</svg>|<[^>]*>`)

// htmlWords are a page's words as a reader sees them, without those on the map.
func htmlWords(page []byte) string {
	return strings.Join(strings.Fields(html.UnescapeString(tags.ReplaceAllString(string(page), " "))), " ")
}

func TestHTMLStandsInOrder(t *testing.T) {
	words := htmlWords(written(t, jobPage(t).WriteHTML))
	assertOrder(t, strings.Replace(words, "Go past the map", "Go past the map True north is up", 1)) // which is drawn
}

// Paper and screen say the same: every line of the sections stands in both.
func TestHTMLAndPDFSayTheSame(t *testing.T) {
	p := jobPage(t)
	ready, totals, err := p.ready(false)
	require.NoError(t, err)
	page := htmlWords(written(t, p.WriteHTML))
	paper := strings.Join(strings.Fields(pdfText(t, written(t, p.WritePDF))), " ")
	for _, s := range ready.contents(totals) {
		for _, words := range append(append([]string{}, s.Lines...), s.Items...) {
			words = strings.Join(strings.Fields(words), " ")
			assert.Contains(t, page, words)
			assert.Contains(t, paper, words)
		}
		for _, table := range s.Tables {
			for _, row := range table.Rows {
				words := strings.Join(strings.Fields(strings.Join(row, " ")), " ")
				assert.Contains(t, page, words)
				assert.Contains(t, paper, words)
			}
		}
	}
}

// Sheets never say that ground is without danger.
func TestNothingIsCalledSafe(t *testing.T) {
	p := jobPage(t)
	for _, text := range []string{string(written(t, p.WriteHTML)), pdfText(t, written(t, p.WritePDF))} {
		assert.NotRegexp(t, `(?i)\bsafe(ly)?\b`, tags.ReplaceAllString(text, " "))
	}
}

func TestCrewSeesNoPrices(t *testing.T) {
	p := jobPage(t)
	assert.Regexp(t, ofMoney, htmlWords(written(t, p.WriteHTML)))
	p.Crew = true
	page, paper := htmlWords(written(t, p.WriteHTML)), pdfText(t, written(t, p.WritePDF))
	for _, text := range []string{page, paper} {
		assert.NotRegexp(t, `(?i)\$|\bprice|\bcosts?\b|\bmargin\b|\boverhead \d|\bcontingency\b|12,345`, text)
		assert.Contains(t, text, "for the crew")
	}
	// What is no money stays.
	for _, words := range []string{"Track loader, 2 × Remote crawler", "4 to 6", "Work begins when the last machine is unloaded.", "job: haul_miles 30mi; day 10h"} {
		assert.Contains(t, page, words)
	}
}

// Names come from strangers' files.
func TestHTMLEscapesNames(t *testing.T) {
	lots := []zoning.Parcel{box(hostile, -100, -100, -5, 60), box(`"><img src=x onerror=alert(2)>`, 5, -100, 100, 60)}
	p := jobPage(t, lots...)
	p.Emergency.Words = `</p><script>alert(3)</script>`
	p.Map.Hazards[3].Words = `<svg onload=alert(4)>`
	page := string(written(t, p.WriteHTML))
	assert.Equal(t, 1, strings.Count(page, "<script"))
	assert.Zero(t, strings.Count(page, "<img"))
	assert.NotRegexp(t, `<[^>]* on[a-z]+=`, tags.ReplaceAllStringFunc(page, func(tag string) string {
		if strings.HasPrefix(tag, "<script>") {
			return ""
		}
		return regexp.MustCompile(`"[^"]*"`).ReplaceAllString(tag, `""`)
	}))
}

// CSP Level 3: inline style and script run only if their hash is in the policy, and
// nothing may be fetched.
func TestHTMLPolicyAllowsOnlyItsOwn(t *testing.T) {
	page := string(written(t, jobPage(t).WriteHTML))
	policy := html.UnescapeString(regexp.MustCompile(`Content-Security-Policy" content="([^"]*)"`).FindStringSubmatch(page)[1])
	for _, tag := range []string{"style", "script"} {
		inside := regexp.MustCompile(`(?s)<` + tag + `>(.*?)</` + tag + `>`).FindStringSubmatch(page)[1]
		sum := sha256.Sum256([]byte(inside))
		assert.Contains(t, policy, tag+"-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
	}
	assert.Contains(t, policy, "default-src 'none'")
	assert.NotContains(t, policy, "unsafe")
	assert.NotRegexp(t, ` style="`, page)
	assert.NotRegexp(t, `(?i)(src|href)="(?:https?:)?//`, page)
	assert.NotRegexp(t, `(?i)\burl\(|@import`, page) // of styles; a script may make addresses of its own
}

// The map inside is well-formed XML, and each zone tells its numbers to a keyboard and
// to who cannot see it.
func TestHTMLZonesTellTheirNumbers(t *testing.T) {
	p := jobPage(t)
	page := string(written(t, p.WriteHTML))
	for _, svg := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1) {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if !assert.NoError(t, err) {
				break
			}
		}
	}
	zones := regexp.MustCompile(`<path class="zone" d="M[^"]+" tabindex="0" role="button" aria-label="([^"]*)" data-numbers="([^"]*)"/>`).FindAllStringSubmatch(page, -1)
	require.Len(t, zones, len(p.Map.Lots[0].Zones))
	totals := totalsOf(p.Map)
	for i, z := range p.Map.Lots[0].Zones {
		label := html.UnescapeString(zones[i][1])
		assert.Contains(t, label, p.Map.Fleet.Bands()[z.Band].Name)
		assert.Contains(t, label, totals.acresText(z.Acres)+" acres")
		assert.Contains(t, label, "greatest "+slopeText(z.SlopeMaxPct))
		if z.Band < len(p.Map.Fleet) {
			assert.Contains(t, label, "walk "+totals.acresText(z.Acres-z.SureAcres-z.SightAcres)+" acres first")
		}
		assert.Equal(t, label, strings.ReplaceAll(html.UnescapeString(zones[i][2]), "\n", "; "))
	}
}

func TestHTMLAndPNGAreTheSameEachRun(t *testing.T) {
	assert.True(t, bytes.Equal(written(t, jobPage(t).WriteHTML), written(t, jobPage(t).WriteHTML)))
	assert.True(t, bytes.Equal(written(t, jobPage(t).WritePNG), written(t, jobPage(t).WritePNG)))
}

// Success criterion 1.4.3 of WCAG 2.2: each colour of text in the style against what
// it stands on.
func TestStyleKeepsContrast(t *testing.T) {
	parse := func(hex string) color.RGBA {
		v, err := strconv.ParseUint(strings.Repeat(hex, 6/len(hex)), 16, 32)
		require.NoError(t, err)
		return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 0xFF}
	}
	rules := regexp.MustCompile(`\{[^{}]*\}`).FindAllString(baseText+cssText+overviewStyle, -1)
	colour := regexp.MustCompile(`(?:^|[{;\s])color: #([0-9a-f]+)`)
	ground := regexp.MustCompile(`background: #([0-9a-f]+)`)
	found := 0
	for _, rule := range rules {
		c := colour.FindStringSubmatch(rule)
		if c == nil {
			continue
		}
		on := palette.Paper
		if g := ground.FindStringSubmatch(rule); g != nil {
			on = parse(g[1])
		}
		assert.GreaterOrEqual(t, contrast(parse(c[1]), on), 4.5, rule)
		found++
	}
	assert.GreaterOrEqual(t, found, 4)
}
