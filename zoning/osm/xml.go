package osm

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// mostParts is how many nodes, members and tags one element may have: the map's own
// server takes 2000 nodes of a way.
const mostParts = 1 << 20

// walkXML calls visit for each element that is wanted, in the order of the file.
func walkXML(ctx context.Context, r io.Reader, want wanted, visit func(*element) error) (asOf string, err error) {
	x := &xmlWalk{want: want, visit: visit}
	d := xml.NewDecoder(r)
	for n := 0; ; n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return "", ctx.Err()
		}
		t, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			switch {
			case !x.rooted:
				return "", errors.New("holds no OpenStreetMap extract")
			case !x.ended:
				return "", errCut
			}
			return x.asOf, nil
		}
		if err != nil {
			line, _ := d.InputPos()
			return "", fmt.Errorf("line %d: is damaged: %w", line, err)
		}
		switch t := t.(type) {
		case xml.StartElement:
			err = x.start(t)
		case xml.EndElement:
			err = x.end(t.Name.Local)
		case xml.CharData:
			if x.remark {
				err = fmt.Errorf("is not whole, its server says: %.200s; ask again", strings.TrimSpace(string(t)))
			}
		}
		if err != nil {
			return "", atLine(d, err)
		}
	}
}

// elementError is what is wrong with an element.
type elementError struct{ words string }

func (e elementError) Error() string { return e.words }

// atLine tells the line of what is wrong with an element.
func atLine(d *xml.Decoder, err error) error {
	var of elementError
	if errors.As(err, &of) {
		line, _ := d.InputPos()
		return fmt.Errorf("line %d: %w", line, err)
	}
	return err
}

// xmlWalk reads elements from tokens: it holds one at a time, however deep they nest.
type xmlWalk struct {
	want          wanted
	visit         func(*element) error
	asOf          string
	rooted, ended bool
	remark        bool
	open, gone    bool // within an element, and one that its editor has deleted
	e             element
}

func (x *xmlWalk) start(t xml.StartElement) error {
	name := t.Name.Local
	if !x.rooted {
		if name != "osm" {
			return fmt.Errorf("is no OpenStreetMap extract: it begins with <%.20s> where <osm> is wanted", name)
		}
		x.rooted = true
		x.dated(attribute(t, "timestamp"))
		return nil
	}
	switch name {
	case "meta":
		x.dated(attribute(t, "osm_base"))
	case "remark":
		x.remark = true
	case "node", "way", "relation":
		return x.begin(name, t)
	case "tag", "nd", "member":
		if x.open && !x.gone {
			return x.part(name, t)
		}
	}
	return nil
}

func (x *xmlWalk) dated(when string) {
	if len(when) >= len("2006-01-02") {
		x.asOf = when[:len("2006-01-02")]
	}
}

func (x *xmlWalk) begin(name string, t xml.StartElement) error {
	if x.open {
		return elementError{fmt.Sprintf("a <%s> lies in another element", name)}
	}
	x.open = true
	e := &x.e
	e.tags, e.refs, e.members = e.tags[:0], e.refs[:0], e.members[:0]
	e.at = orb.Point{}
	switch name {
	case "node":
		e.kind = node
	case "way":
		e.kind = way
	default:
		e.kind = relation
	}
	var err error
	if e.id, err = strconv.ParseInt(attribute(t, "id"), 10, 64); err != nil {
		return elementError{fmt.Sprintf("the id %.20q of a %s is no number", attribute(t, "id"), name)}
	}
	x.gone = attribute(t, "visible") == "false" || attribute(t, "action") == "delete"
	if name != "node" || x.gone {
		return nil
	}
	lon, err1 := strconv.ParseFloat(attribute(t, "lon"), 64)
	lat, err2 := strconv.ParseFloat(attribute(t, "lat"), 64)
	e.at = orb.Point{rounded(lon), rounded(lat)}
	if err1 != nil || err2 != nil || !onEarth(e.at) {
		return elementError{fmt.Sprintf("node %d lies at lon %.20q, lat %.20q, which is not on earth", e.id, attribute(t, "lon"), attribute(t, "lat"))}
	}
	return nil
}

// part adds a tag, a node or a member to the element.
func (x *xmlWalk) part(name string, t xml.StartElement) error {
	e := &x.e
	if len(e.tags)+len(e.refs)+len(e.members) >= mostParts {
		return elementError{fmt.Sprintf("%s %d has more than %d parts", e.kind, e.id, mostParts)}
	}
	if name == "tag" {
		e.tags = append(e.tags, tag{attribute(t, "k"), attribute(t, "v")})
		return nil
	}
	ref, err := strconv.ParseInt(attribute(t, "ref"), 10, 64)
	if err != nil {
		return elementError{fmt.Sprintf("%s %d refers to %.20q, which is no number", e.kind, e.id, attribute(t, "ref"))}
	}
	if name == "nd" {
		e.refs = append(e.refs, ref)
		return nil
	}
	m := member{id: ref, role: attribute(t, "role")}
	switch attribute(t, "type") {
	case "node":
		m.kind = node
	case "way":
		m.kind = way
	case "relation":
		m.kind = relation
	default:
		return elementError{fmt.Sprintf("relation %d has a member of type %.20q", e.id, attribute(t, "type"))}
	}
	e.members = append(e.members, m)
	return nil
}

func (x *xmlWalk) end(name string) error {
	switch name {
	case "osm":
		x.ended = true
	case "remark":
		x.remark = false
	case "node", "way", "relation":
		if !x.open || x.e.kind.String() != name {
			return elementError{fmt.Sprintf("a <%s> ends that did not begin", name)}
		}
		x.open = false
		wanted := [...]bool{x.want.nodes, x.want.ways, x.want.relations}[x.e.kind]
		if wanted && !x.gone {
			return x.visit(&x.e)
		}
	}
	return nil
}

func attribute(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
