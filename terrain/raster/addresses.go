package raster

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain/setting"
)

// ErrRemote says that a file names addresses, which nobody said may be asked.
var ErrRemote = errors.New("it names an address on the network")

// noCurl keeps GDAL from asking servers for what a file of another kind names.
const noCurl = "CPL_VSIL_CURL_ALLOWED_EXTENSIONS=.nothing-unasked"

// services are the first elements of texts that describe a service on the network.
var services = []string{
	"GDAL_WMS", "GDAL_WMTS", "WMS_Capabilities", "WMT_MS_Capabilities", "Capabilities", "WMS_Tile_Service", "TileMap", "TileMapService", "Services",
	"WCS_GDAL", "CoverageDescription", "CoverageDescriptions", "WCS_Capabilities", "GDALTileIndexDataset", "kml",
}

// onNetwork finds names of what GDAL asks a server for.
var onNetwork = regexp.MustCompile(`(?i)https?://|ftp://|s3://|gs://|/vsi(curl|s3|gs|az|adls|oss|swift|hdfs|webhdfs)[_/?]|^(WMS|WMTS|WCS|OGCAPI|DAAS|EEDA|EEDAI|PLMOSAIC|NGW|STACIT|STACTA|GTI|PG|IIP|JPIP):`)

// Bounds of what is looked through: no honest description is longer or deeper.
const (
	mostText   = 64 << 20
	mostNested = 16
)

// checkAddresses refuses a file that names addresses, itself or by what it is made of,
// before GDAL sees it. What is an address itself was given by who asks.
func (o Options) checkAddresses(name string) error {
	if o.AllowRemote || onNetwork.MatchString(name) {
		return nil
	}
	a := addresses{o: o, seen: map[string]bool{}}
	if found := a.in(name, 0); found != "" {
		return fmt.Errorf("%w: %s; say %s if that may be asked, or download the elevation and give its path", ErrRemote, found, setting.Name("allow-remote"))
	}
	return nil
}

// addresses looks through files and what they are made of.
type addresses struct {
	o    Options
	seen map[string]bool
}

// in finds an address that a file names, in words; "" where it names none.
func (a addresses) in(name string, depth int) string {
	if a.seen[name] {
		return ""
	}
	a.seen[name] = true
	if found := a.inText(name, a.fileText(name), depth); found != "" {
		return found
	}
	for _, beside := range []string{name + ".aux.xml", strings.TrimSuffix(name, path.Ext(name)) + ".aux.xml"} {
		if !a.seen[beside] {
			a.seen[beside] = true
			if found := a.inText(beside, a.fileText(beside), depth); found != "" {
				return found
			}
		}
	}
	return ""
}

// fileText is what a file holds if it is text in which GDAL reads what else to open; nil
// of others.
func (a addresses) fileText(name string) []byte {
	f, err := godal.VSIOpen(a.o.vsi(name), godal.ErrLogger(quiet))
	if err != nil {
		return nil // opening it will say so
	}
	defer f.Close()
	first := make([]byte, 1024)
	n, _ := io.ReadFull(f, first) // a short file is one too
	if !isDescription(first[:n]) {
		return nil
	}
	rest, err := io.ReadAll(io.LimitReader(f, mostText))
	if err != nil {
		return nil
	}
	return append(first[:n], rest...)
}

// isDescription reports whether a text begins as XML or JSON does.
func isDescription(text []byte) bool {
	text = bytes.TrimLeft(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")), " \t\r\n\x00")
	return len(text) > 0 && (text[0] == '<' || text[0] == '{' || text[0] == '[')
}

// inText finds an address in a text by which GDAL opens other files.
func (a addresses) inText(name string, text []byte, depth int) string {
	text = bytes.TrimLeft(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")), " \t\r\n\x00")
	switch {
	case len(text) == 0:
		return ""
	case depth > mostNested:
		return name + " is nested too deep to be looked through"
	case text[0] != '<':
		if found := onNetwork.Find(text); found != nil {
			return fmt.Sprintf("%s says %s", name, shorten(string(stretch(text, found))))
		}
		return ""
	}
	d := xml.NewDecoder(bytes.NewReader(text))
	d.Strict = false
	d.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	var open []xml.StartElement
	var held strings.Builder
	for {
		token, err := d.RawToken()
		if err != nil {
			if errors.Is(err, io.EOF) {
				return ""
			}
			// GDAL's own parser may read on where this one does not.
			if found := onNetwork.Find(text); found != nil {
				return fmt.Sprintf("%s says %s", name, shorten(string(stretch(text, found))))
			}
			return ""
		}
		switch t := token.(type) {
		case xml.StartElement:
			if len(open) == 0 && slices.Contains(services, t.Name.Local) {
				return fmt.Sprintf("%s describes a service (%s)%s", name, t.Name.Local, addressIn(text))
			}
			open = append(open, t.Copy())
			held.Reset()
		case xml.CharData:
			held.Write(t)
		case xml.EndElement:
			if len(open) == 0 {
				continue
			}
			e := open[len(open)-1]
			open = open[:len(open)-1]
			if opens(e) {
				if found := a.source(name, e, strings.TrimSpace(held.String()), depth); found != "" {
					return found
				}
			}
			held.Reset()
		}
	}
}

// opens reports whether GDAL opens what stands in an element.
func opens(e xml.StartElement) bool {
	if e.Name.Local == "MDI" {
		for _, attr := range e.Attr {
			if attr.Name.Local == "key" && (strings.HasSuffix(attr.Value, "_DATASET") || strings.HasSuffix(attr.Value, "_FILE")) {
				return true
			}
		}
		return false
	}
	for _, part := range []string{"Source", "Dataset", "Filename", "File"} {
		if strings.Contains(e.Name.Local, part) {
			return true
		}
	}
	return false
}

// source finds an address in what a description is made of: itself, or what it leads to.
func (a addresses) source(of string, e xml.StartElement, text string, depth int) string {
	switch {
	case text == "":
		return ""
	case text[0] == '<':
		return a.inText(of, []byte(text), depth+1)
	case onNetwork.MatchString(text):
		return fmt.Sprintf("%s is made of %s", of, shorten(text))
	}
	for _, attr := range e.Attr {
		if strings.EqualFold(attr.Name.Local, "relativeToVRT") && attr.Value == "1" {
			text = filepath.Join(filepath.Dir(of), text)
			if strings.HasPrefix(of, "/vsi") {
				text = path.Join(path.Dir(of), text)
			}
		}
	}
	return a.in(text, depth+1)
}

// addressIn is the first http address that stands in an element of a text, for a message.
func addressIn(text []byte) string {
	if found := regexp.MustCompile(`>\s*(https?://[^<\s]*)|"(https?://[^"]*\?[^"]*)"`).FindSubmatch(text); found != nil {
		return " at " + shorten(string(append(found[1], found[2]...)))
	}
	return ""
}

// stretch is the word in a text around what was found in it.
func stretch(text, found []byte) []byte {
	from := bytes.Index(text, found)
	end := from
	for end < len(text) && !bytes.ContainsRune([]byte("\"'<> \t\r\n,}"), rune(text[end])) {
		end++
	}
	return text[from:end]
}
