package read

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
)

// drawnLayers returns the layers that hold shapes, or the one of the given name.
func drawnLayers(all []*layer, f format, name string) ([]*layer, error) {
	if f.walked {
		// GDAL gives the points of GPX lines once more, as layers of their own.
		all = slices.DeleteFunc(all, func(l *layer) bool { return l.name == "route_points" || l.name == "track_points" })
	}
	if name != "" {
		return layerOf(all, name)
	}
	return slices.DeleteFunc(all, func(l *layer) bool { return l.bare }), nil
}

// layerOf returns the layer of a name, in any case if need be.
func layerOf(all []*layer, name string) ([]*layer, error) {
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		for _, l := range all {
			if same(l.name, name) {
				return []*layer{l}, nil
			}
		}
	}
	return nil, noSuchLayer(name, namesOf(all))
}

func namesOf(layers []*layer) (names []string) {
	for _, l := range layers {
		names = append(names, l.name)
	}
	return names
}

// boundaryLayers returns the layers to read lots from.
func boundaryLayers(all []*layer, f format, name string) ([]*layer, error) {
	drawn, err := drawnLayers(all, f, name)
	if err != nil || name != "" || f.drawing {
		return drawn, err
	}
	var polys []*layer
	for _, l := range drawn {
		if l.polys {
			polys = append(polys, l)
		}
	}
	switch {
	case len(polys) == 0:
		return drawn, nil
	case len(polys) > 1:
		return nil, severalLayers(namesOf(polys))
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

// checkWhere returns an error where no layer has a field that [Options.Where] names.
func (r *reader) checkWhere() error {
	for _, name := range r.where.fields {
		has := func(l *layer) bool { return nameFields(l.fields, name) != nil }
		if len(r.layers) > 0 && !slices.ContainsFunc(r.layers, has) {
			return fmt.Errorf("%s %s: %w", setting.Name("where"), r.opts.Where, noSuchField(name, "choose lots by", r.layers))
		}
	}
	return nil
}

// whereFields are the indices of the fields that [Options.Where] names; -1 for those that
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

// severalLayers are the layers of a file of which one must be named.
type severalLayers []string

func (names severalLayers) Error() string {
	return fmt.Sprintf("holds several layers with polygons (%s): give a file that holds the parcels alone, or name their layer", strings.Join(names, ", "))
}

func noSuchLayer(name string, layers []string) error {
	return fmt.Errorf("has no layer %q: its layers are %s", name, strings.Join(layers, ", "))
}
