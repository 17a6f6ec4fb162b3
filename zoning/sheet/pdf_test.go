package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pdfText is what a PDF writes, in the order in which it does: the strings of its Tj
// operators (ISO 32000-1, 9.4.3), whose codes are UTF-16 in these files.
func pdfText(t testing.TB, file []byte) string {
	var out strings.Builder
	for _, m := range regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`).FindAllSubmatch(file, -1) {
		r, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue // a stream that is not deflated
		}
		page, err := io.ReadAll(r)
		if err != nil || !bytes.Contains(page, []byte(" Tj")) {
			continue
		}
		for _, s := range regexp.MustCompile(`(?s) Td \(((?:\\.|[^\\)])*)\) Tj`).FindAllSubmatch(page, -1) {
			var raw []byte
			for i := 0; i < len(s[1]); i++ {
				c := s[1][i]
				if c == '\\' {
					i++
					c = map[byte]byte{'r': '\r', 'n': '\n'}[s[1][i]]
					if c == 0 {
						c = s[1][i]
					}
				}
				raw = append(raw, c)
			}
			require.Zero(t, len(raw)%2)
			units := make([]uint16, len(raw)/2)
			for i := range units {
				units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
			}
			out.WriteString(string(utf16.Decode(units)) + "\n")
		}
	}
	return out.String()
}

// pdfPages are the sizes of a file's pages in points.
func pdfPages(file []byte) (sizes []string) {
	for _, m := range regexp.MustCompile(`(?s)/Type /Page\s.*?/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`).FindAllSubmatch(file, -1) {
		sizes = append(sizes, string(m[1])+" × "+string(m[2]))
	}
	return sizes
}

// Letter is 8½ × 11 in, A4 210 × 297 mm (ISO 216), a point 1/72 in.
func TestPDFHasTwoPagesOfItsPaper(t *testing.T) {
	for paper, size := range map[Paper]string{"": "612.00 × 792.00", Letter: "612.00 × 792.00", A4: "595.28 × 841.89"} {
		p := jobPage(t)
		p.Paper = paper
		file := written(t, p.WritePDF)
		assert.Equal(t, []string{size, size}, pdfPages(file))
		assert.Contains(t, string(file), "/Count 2")
	}
	_, err := paperOf("foolscap")
	assert.ErrorContains(t, err, "foolscap")
	p := jobPage(t)
	p.Paper = "foolscap"
	assert.ErrorContains(t, p.WritePDF(io.Discard), "letter or a4")
}

// order are the first words of each section, as the sheet is read from the top.
var order = []string{
	"Staging at", "acres workable with what is loaded", "Worst dangers", "True north is up", "Ground condition", "Elevation",
	"Acres", "Plan: an estimate", "What was assumed", "Cautions", "Emergency location", "Walked before work",
}

func assertOrder(t testing.TB, text string) {
	at := 0
	for _, words := range order {
		i := strings.Index(text[at:], words)
		if !assert.GreaterOrEqual(t, i, 0, "%q after %q", words, text[max(0, at-40):at]) {
			return
		}
		at += i + len(words)
	}
}

func TestPDFStandsInOrder(t *testing.T) {
	assertOrder(t, pdfText(t, written(t, jobPage(t).WritePDF)))
}

func TestPDFTells(t *testing.T) {
	text := strings.Join(strings.Fields(pdfText(t, written(t, jobPage(t).WritePDF))), " ")
	for _, words := range []string{
		`Tarn "Hollow" <script>alert(1)</script> & 'Sons'`, "2026-05-04", "Staging at 0.00157 S, 0.00018 W (Mill gate).",
		"North line: keep 15 ft clear", "Drop-off, up to 12 ft (and 1 more place)", "right below a zone, 0.15 acres",
		"county boundary, taken as good to 10 ft", "made.tif: cells 1.0 × 1.0 m, heights in meters (band unit); surveyed 2021-04.",
		"Assumed: dry ground.", "Wet: 6.0 acres for machines (Track loader 3.0, Boom-mounted head 2.0, Remote crawler 1.0), 11.0 for none.",
		"Track loader, 2 × Remote crawler", "$12,345", "$11,000 to $15,750", "4 to 6", "feet", "meters",
		"Warning: the elevation: 0.2 acres look like tree tops", "heights are in meters", "29 CFR 1910.266",
		"Tell the dispatcher: 0.00153 S, 0.00054 E.", "Gate 4 on the mill road.", "Signature", "page 1 of 2", "page 2 of 2", caution,
	} {
		assert.Contains(t, text, words)
	}
}

func TestPDFIsTheSameEachRun(t *testing.T) {
	first := written(t, jobPage(t).WritePDF)
	assert.True(t, bytes.Equal(first, written(t, jobPage(t).WritePDF)))
	assert.Contains(t, string(first), "/CreationDate (D:20260504000000", "the date of the sheet, no clock's")
}

// Whatever is said of a job, cautions and the place to sign stay on three pages.
func TestLongListsAreCutShortOnPaper(t *testing.T) {
	p := jobPage(t)
	for i := range 300 {
		p.Map.Assumed = append(p.Map.Assumed, fmt.Sprintf("assumption number %d, which goes on for a line or so before it comes to its end", i))
	}
	file := written(t, p.WritePDF)
	assert.Len(t, pdfPages(file), 3)
	text := pdfText(t, file)
	assert.Regexp(t, `and \d+ more: see the sheet on a screen`, text)
	assertOrder(t, text)
	text = strings.Join(strings.Fields(text), " ")
	for _, c := range p.Map.Cautions {
		assert.Contains(t, text, c)
	}
	page := string(written(t, p.WriteHTML))
	assert.Contains(t, page, "assumption number 299", "a screen shows all")
}

// Poppler, a PDF reader that is not ours, agrees on pages and text.
func TestPDFReadByPoppler(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext of poppler-utils is not installed")
	}
	cmd := exec.Command(tool, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(written(t, jobPage(t).WritePDF))
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	text, err := cmd.Output()
	require.NoError(t, err)
	assert.Empty(t, complaints.String())
	assert.Equal(t, 2, strings.Count(string(text), "\f"))
	assert.Contains(t, string(text), "workable with what is loaded")
	assert.Contains(t, string(text), "page 2 of 2")
}
