package osm

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/site"
)

// Options says what is read of an extract, and how it is taken.
type Options struct {
	// Lots is the box around the lots, in WGS84 longitude and latitude; without one nothing
	// is read.
	Lots orb.Bound
	// WaterSetback is how far machines keep from water; the zero value keeps them off the
	// water alone.
	WaterSetback site.Setback
	// Units are what people are told in.
	Units measure.Units
}

// Extract is what an extract shows around the lots.
type Extract struct {
	// Features have their places in the file's order of ids, nodes before ways before
	// relations, whatever form the file has. Polygons are as they are drawn: package read
	// checks and repairs them.
	Features []site.Feature
	AsOf     string   // the day of the map, 2026-11-29; "" where the file does not say
	Notes    []string // what a reader of the map must know of it, in words
}

// IsExtract reports whether a file that begins so is an extract, in either form.
func IsExtract(head []byte) bool { return isPBF(head) || isXML(head) }

// isPBF: after four bytes of size the type of the first block stands as field 1.
func isPBF(head []byte) bool {
	return len(head) > 15 && head[0] == 0 && head[1] == 0 && bytes.HasPrefix(head[4:], []byte("\x0a\x09OSMHeader"))
}

// isXML: the root element is <osm>.
func isXML(head []byte) bool {
	body := bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	if !bytes.HasPrefix(body, []byte("<")) {
		return false
	}
	for len(body) > 0 {
		i := bytes.IndexByte(body, '<')
		if i < 0 || i+1 >= len(body) {
			return false
		}
		body = body[i:]
		switch body[1] {
		case '?', '!': // a declaration or a comment
			end := []byte(">")
			if bytes.HasPrefix(body, []byte("<!--")) {
				end = []byte("-->")
			}
			if i = bytes.Index(body, end); i < 0 {
				return false
			}
			body = body[i:]
		default:
			return bytes.HasPrefix(body, []byte("<osm ")) || bytes.HasPrefix(body, []byte("<osm>")) || bytes.HasPrefix(body, []byte("<osm\t")) ||
				bytes.HasPrefix(body, []byte("<osm\n")) || bytes.HasPrefix(body, []byte("<osm\r"))
		}
	}
	return false
}

// Read reads what an extract shows around the lots: .osm or .osm.pbf, told apart by its
// first bytes. It goes through the file up to three times, and keeps only what lies around the
// lots. Errors name the file, and of XML the line. Once the context is done its error is
// returned.
func Read(ctx context.Context, path string, o Options) (*Extract, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	x, err := read(ctx, f, o)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return x, nil
}

func read(ctx context.Context, in io.ReadSeeker, o Options) (*Extract, error) {
	if o.Lots.IsEmpty() || o.Lots == (orb.Bound{}) {
		return nil, errNoLots
	}
	head := make([]byte, 4<<10)
	n, err := io.ReadFull(in, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, errors.New("is empty")
	}
	form := walkXML
	if isPBF(head[:n]) {
		form = walkPBF
	} else if !isXML(head[:n]) {
		return nil, errors.New("is no OpenStreetMap extract: give .osm or .osm.pbf")
	}
	around, err := look(ctx, func(ctx context.Context, want wanted, visit func(*element) error) (string, error) {
		if _, err := in.Seek(0, io.SeekStart); err != nil {
			return "", err
		}
		return form(ctx, in, want, visit)
	}, o.Lots)
	if err != nil {
		return nil, err
	}
	if err := around.reaches(o.Lots, o.Units); err != nil {
		return nil, err
	}
	m := &maker{found: around, o: o, box: Kept(o.Lots)}
	m.all()
	return &Extract{Features: m.out, AsOf: around.asOf, Notes: m.notes()}, nil
}

// reaches refuses an extract of other ground than the lots'.
func (f *found) reaches(lots orb.Bound, told measure.Units) error {
	if f.nodes == 0 {
		return errors.New("holds no node: it shows nothing")
	}
	if !padded(lots, seeM).Intersects(f.extent) {
		return fmt.Errorf("shows the ground around %s, and nothing within %s of the lots: give an extract of their ground", place(f.extent.Center()), told.LongLength(seeM))
	}
	return nil
}

// place writes where something is, to a kilometer.
func place(p orb.Point) string {
	ns, ew := "N", "E"
	if p[1] < 0 {
		p[1], ns = -p[1], "S"
	}
	if p[0] < 0 {
		p[0], ew = -p[0], "W"
	}
	return fmt.Sprintf("%.2f %s, %.2f %s", p[1], ns, p[0], ew)
}
