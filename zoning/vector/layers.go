package vector

import (
	"fmt"
	"slices"
	"strings"
)

// choose returns the layers to read.
func choose(src *source, f format, name string) ([]*layer, error) {
	all, err := src.layers()
	if err != nil {
		return nil, fmt.Errorf("its layers cannot be read: %w", err)
	}
	var drawn, polys []*layer
	var names []string
	if f.walked {
		// GDAL gives the points of GPX lines once more, as layers of their own.
		all = slices.DeleteFunc(all, func(l *layer) bool { return l.name == "route_points" || l.name == "track_points" })
	}
	for _, l := range all {
		names = append(names, l.name)
		if name != "" && l.name == name {
			return []*layer{l}, nil
		}
		if !l.bare {
			drawn = append(drawn, l)
		}
		if l.polys && !l.bare {
			polys = append(polys, l)
		}
	}
	switch {
	case name != "":
		for _, l := range all {
			if strings.EqualFold(l.name, name) {
				return []*layer{l}, nil
			}
		}
		return nil, noSuchLayer(name, names)
	case f.drawing || len(polys) == 0:
		return drawn, nil
	case len(polys) > 1:
		names = nil
		for _, l := range polys {
			names = append(names, l.name)
		}
		return nil, severalLayers(names)
	}
	return polys, nil
}

// checkField returns an error where no layer has the field asked for.
func (r *reader) checkField() error {
	for _, l := range r.layers {
		if r.opts.Field == "" || nameFields(l.fields, r.opts.Field) != nil {
			return nil
		}
	}
	if len(r.layers) == 0 {
		return nil // there is a better error to come
	}
	return noSuchField(r.opts.Field, "name lots by", r.layers)
}

// checkWhere returns an error where no layer has a field that --where names.
func (r *reader) checkWhere() error {
	for _, name := range r.where.fields {
		has := func(l *layer) bool { return nameFields(l.fields, name) != nil }
		if len(r.layers) > 0 && !slices.ContainsFunc(r.layers, has) {
			return fmt.Errorf("--where %s: %w", r.opts.Where, noSuchField(name, "choose lots by", r.layers))
		}
	}
	return nil
}

// whereFields are the indices of the fields that --where names; -1 for those that
// a layer does not have, which are blank.
func (r *reader) whereFields(l *layer) (indices []int) {
	if r.where == nil {
		return nil
	}
	for _, name := range r.where.fields {
		at := -1
		if found := nameFields(l.fields, name); found != nil {
			at = found[0]
		}
		indices = append(indices, at)
	}
	return indices
}

func severalLayers(names []string) error {
	return fmt.Errorf("holds several layers with polygons (%s): give a file that holds the parcels alone, or name their layer", strings.Join(names, ", "))
}

func noSuchLayer(name string, layers []string) error {
	return fmt.Errorf("has no layer %q: its layers are %s", name, strings.Join(layers, ", "))
}
