package read

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
)

// crsMember is the "crs" member of GeoJSON before RFC 7946 (2008 edition,
// section 3).
type crsMember struct {
	Properties struct {
		Name string
		Code json.Number
	}
}

// checkMember looks at a GeoJSON file that GDAL took for WGS 84: GDAL does so
// where the file has no "crs" member, which is right, and where it has one that
// GDAL cannot read, which is not.
func checkMember(file string, layers []*layer, crsFlag string) (note string, err error) {
	for _, l := range layers {
		if l.wkt != wgs84Name {
			return "", nil
		}
	}
	raw, err := findMember(file)
	if err != nil || raw == nil {
		return "", err
	}
	if string(raw) == "null" {
		return `its "crs" is null: taken as WGS 84`, nil
	}
	var m crsMember
	// A member of another shape leaves m empty.
	_ = json.Unmarshal(raw, &m)
	name := strings.ToUpper(strings.ReplaceAll(m.Properties.Name, " ", ""))
	for _, known := range []string{"CRS84", "EPSG::4326", "EPSG:4326", "WGS84", "EPSG:6.6:4326"} {
		if strings.HasSuffix(name, known) {
			return "", nil
		}
	}
	if m.Properties.Code == "4326" {
		return "", nil
	}
	if len(raw) > 100 {
		raw = append(raw[:100:100], "..."...)
	}
	return "", fmt.Errorf("its crs (%s) cannot be read: name it with %s", bytes.Join(bytes.Fields(raw), []byte(" ")), crsFlag)
}

// findMember returns the value of the "crs" member of the outermost object, nil
// if there is none.
func findMember(file string) (json.RawMessage, error) {
	fh, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer fh.Close()
	if has, err := contains(fh, `"crs"`); err != nil || !has {
		return nil, err
	}
	if _, err := fh.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	d := json.NewDecoder(fh)
	depth := 0
	for {
		t, err := d.Token()
		if err != nil {
			return nil, nil // GDAL takes what Go does not, such as NaN
		}
		switch t {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		case "crs":
			var raw json.RawMessage
			if depth == 1 && d.Decode(&raw) == nil {
				return raw, nil
			}
		}
	}
}

// contains reports whether a text occurs in what a reader holds.
func contains(r io.Reader, text string) (bool, error) {
	buf := make([]byte, 64<<10)
	kept := 0
	for {
		n, err := r.Read(buf[kept:])
		if bytes.Contains(buf[:kept+n], []byte(text)) {
			return true, nil
		}
		if err == io.EOF {
			return false, nil
		}
		if err != nil {
			return false, err
		}
		tail := min(kept+n, len(text)-1)
		copy(buf, buf[kept+n-tail:kept+n])
		kept = tail
	}
}
