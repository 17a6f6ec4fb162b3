package find

import (
	"errors"
	"fmt"
	"math"
	"net/netip"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/fetch"
)

// Kinds of services.
const (
	KindFile     = "file"     // one address that answers range requests
	KindTNM      = "tnm"      // the product search of the US elevation program
	KindSTAC     = "stac"     // a STAC API with item search
	KindOverpass = "overpass" // an Overpass API, of what is drawn on open maps; holds no elevation
)

// Source is a service that may be given by its key, and most of which are asked where no elevation is given.
type Source struct {
	Key         string       `yaml:"key"`
	Name        string       `yaml:"name"`
	Kind        string       `yaml:"kind"`
	Address     string       `yaml:"address"`
	AddressFrom string       `yaml:"address_from"` // "memory" where nobody checked the address
	Cells       string       `yaml:"cells"`        // how fine, in metres, such as "1m"; "" is taken by name only
	Area        [][4]float64 `yaml:"area"`         // boxes of west, south, east, north that it covers; none is everywhere

	Dataset           string `yaml:"dataset"`
	Collection        string `yaml:"collection"`
	Terrain           string `yaml:"terrain"` // asset of bare earth
	Surface           string `yaml:"surface"` // asset of the first surface; "" where there is none
	SurfaceCollection string `yaml:"surface_collection"`

	Sign    string `yaml:"sign"`
	SignFor string `yaml:"sign_for"`
	Private bool   `yaml:"private"` // what it names may lie at private addresses
	Note    string `yaml:"note"`
}

var sourceKey = regexp.MustCompile(`^[a-z0-9][a-z0-9/-]*$`)

// IsKey reports whether a text may be a service's key.
func IsKey(text string) bool { return sourceKey.MatchString(text) }

func (s *Source) check(seen map[string]bool) error {
	u, err := url.Parse(s.Address)
	switch {
	case !IsKey(s.Key):
		return errors.New("its key must be of a-z, 0-9, hyphens and slashes")
	case seen[s.Key]:
		return errors.New("its key is taken by another")
	case err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "":
		return fmt.Errorf("its address %q does not begin with http:// or https://", s.Address)
	case s.AddressFrom == "":
		return errors.New(`say in address_from how its address is known, "memory" if nobody checked it`)
	case s.Cells != "" && !(s.CellM() > 0):
		return fmt.Errorf("its cells %q are no size; write meters, such as 1m", s.Cells)
	case (s.Sign == "") != (s.SignFor == ""):
		return errors.New("sign, the address that signs, and sign_for, the end of the names of hosts that want it, go together")
	}
	for _, b := range s.Area {
		if !(b[0] >= -180 && b[0] < b[2] && b[2] <= 180 && b[1] >= -90 && b[1] < b[3] && b[3] <= 90) {
			return fmt.Errorf("the box %v of its area is none; write [west, south, east, north] in degrees", b)
		}
	}
	return s.checkKind()
}

func (s *Source) checkKind() error {
	switch s.Kind {
	case KindFile, KindOverpass:
		return nil
	case KindTNM:
		if s.Dataset == "" {
			return errors.New("say in dataset the exact title of the data set that is searched")
		}
	case KindSTAC:
		if s.Collection == "" || s.Terrain == "" {
			return errors.New("say in collection and terrain which collection is searched, and which asset of an item is bare earth")
		}
		if s.SurfaceCollection != "" && s.Surface == "" {
			return errors.New("say in surface which asset of the surface's collection is meant")
		}
	default:
		return fmt.Errorf("its kind %q is none of file, tnm, stac, overpass", s.Kind)
	}
	if s.Cells == "" {
		return errors.New("say in cells how fine its cells are, such as 1m")
	}
	return nil
}

// CellM is how fine the source's cells are, in metres; NaN where it does not say.
func (s *Source) CellM() float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(s.Cells, "m")), 64)
	if err != nil || !strings.HasSuffix(s.Cells, "m") || math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}

// Searched reports whether the source must be asked which rasters lie somewhere.
func (s *Source) Searched() bool { return s.Kind == KindTNM || s.Kind == KindSTAC }

// Covers reports whether a box lies, in part, in the source's area.
func (s *Source) Covers(box orb.Bound) bool {
	for _, a := range s.Area {
		if box.Intersects(orb.Bound{Min: orb.Point{a[0], a[1]}, Max: orb.Point{a[2], a[3]}}) {
			return true
		}
	}
	return len(s.Area) == 0
}

// Named finds the source of a key.
func Named(sources []Source, key string) (Source, bool) {
	for _, s := range sources {
		if s.Key == key {
			return s, true
		}
	}
	return Source{}, false
}

// Keys lists the keys of what holds elevation.
func Keys(sources []Source) string {
	var keys []string
	for _, s := range sources {
		if s.Kind != KindOverpass {
			keys = append(keys, s.Key)
		}
	}
	return strings.Join(keys, ", ")
}

// Held adds to the options of a client what a list lets it ask: the services themselves, on whatever network the user has them; what a
// private one names; and what must be signed.
func Held(o fetch.Options, sources []Source) fetch.Options {
	for _, s := range sources {
		o.Allow = append(o.Allow, s.Address)
		if u, err := url.Parse(s.Address); err == nil && isLoopback(u.Hostname()) {
			o.Allow = append(o.Allow, u.Hostname()) // what such a service names lies beside it
		}
		o.AllowAll = o.AllowAll || s.Private
		if s.Sign != "" {
			o.Allow = append(o.Allow, s.Sign)
			o.Sign = append(o.Sign, fetch.Signer{Address: s.Sign, Hosts: s.SignFor})
		}
	}
	return o
}

func isLoopback(host string) bool {
	ip, err := netip.ParseAddr(host)
	return host == "localhost" || err == nil && ip.IsLoopback()
}
