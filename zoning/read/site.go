package read

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/site"
)

// SiteOptions says what a file of site features leaves open.
type SiteOptions struct {
	// CRS is the coordinate reference system of the file, as in [Options].
	CRS string

	// Layer is the one layer to read; where it is "", every layer is.
	Layer string

	// WaterSetback is how far machines keep from water that an OpenStreetMap extract
	// shows; the zero value keeps them off the water alone.
	WaterSetback site.Setback

	// Units are what people are told in.
	Units measure.Units

	// Most is how many features are read of a file; 0 is no limit. Reading stops at the
	// first that is one too many, with a [*TooMany].
	Most int

	// KindField says what each shape is. Where it is "", that is a field kind, in
	// any case, and in a GPX file the type of a waypoint, track or route. The
	// shapes of a layer without such a field are what the layer's name says, so
	// that a folder of a KML file may be called no-go.
	KindField string

	// Kind is what the shapes are of which the file does not say it; "" refuses those with a
	// [*NoKind].
	Kind site.Kind
}

// NoKind is why a shape is of no known kind.
type NoKind struct {
	Value string // that its file gives; "" where it says nothing, as a file of something else does
	words string
}

func (e *NoKind) Error() string { return e.words }

const (
	kindField = "kind"
	gpxField  = "type" // GPX 1.1: classification of the waypoint
)

// ReadSite reads the features of a site file: of every shape what its kind is,
// what [site.Attributes] say of it, and its points, lines and polygons in WGS84
// longitude and latitude. Polygons are checked and repaired as those of lots
// are, a line that comes back to its start is a polygon where the kind needs
// one, and heights are not looked at. A feature with shapes of several sorts
// becomes one for each sort.
//
// Nothing is skipped but pictures and the empty folders of drawings: a shape of
// an unknown kind, or one that cannot be read, is an error that names the file,
// the feature, the value and what to do. Once the context is done its error is
// returned, at the next feature.
func ReadSite(ctx context.Context, path string, o SiteOptions) ([]site.Feature, error) {
	return readSite(ctx, path, o, "")
}

// readStaging reads a file that says where the trailer unloads: its points,
// and the ground inside its polygons. Other lines are left out. Of its fields the name
// is read, and what is posted on the road there: weight, width and height.
func readStaging(ctx context.Context, path string, o SiteOptions) ([]site.Feature, error) {
	return readSite(ctx, path, o, site.Staging)
}

// readTravel reads a file of ground that machines may cross outside the parcel:
// its polygons. Points and other lines are left out. Fields beside the name are
// not read, but for a kind: of another the file is refused.
func readTravel(ctx context.Context, path string, o SiteOptions) ([]site.Feature, error) {
	return readSite(ctx, path, o, site.Travel)
}

// siteReader is one walk through a file of site features.
type siteReader struct {
	ctx context.Context // looked at before each feature
	*file
	field  string    // that says the kind
	asked  bool      // the field was asked for by name
	all    site.Kind // of every shape; "" where the file says
	unsaid site.Kind // of those of which it does not; "" refuses them
	most   int
	units  measure.Units
	place  int
	found  []site.Feature
	unused tally // of a file whose shapes are all of one kind
}

func readSite(ctx context.Context, path string, o SiteOptions, all site.Kind) ([]site.Feature, error) {
	found, err := readSiteFile(ctx, path, o, all)
	var several severalLayers
	if errors.As(err, &several) {
		err = fmt.Errorf("holds several shapefiles (%s): zip each by itself, or name the layer to read", strings.Join(several, ", "))
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return found, nil
}

func readSiteFile(ctx context.Context, path string, o SiteOptions, all site.Kind) ([]site.Feature, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	f, err := openFile(path, request{crs: o.CRS, crsFlag: setting.Name("site-crs"), layer: o.Layer, choose: drawnLayers})
	if err != nil {
		return nil, err
	}
	defer f.close()
	r := &siteReader{ctx: ctx, file: f, field: o.KindField, asked: o.KindField != "", all: all, unsaid: o.Kind, most: o.Most, units: o.Units}
	if r.field == "" {
		r.field = kindField
		if f.format.walked {
			r.field = gpxField
		}
	}
	for _, l := range r.layers {
		if err := r.layer(l); err != nil {
			return nil, err
		}
	}
	if len(r.found) == 0 {
		return nil, r.nothing()
	}
	r.found[0].Notes = append(r.notes, r.found[0].Notes...)
	return r.found, nil
}

// nothing says that a file holds no feature to use.
func (r *siteReader) nothing() error {
	holds := r.unused.String()
	if holds == "" {
		holds = "nothing"
	}
	switch r.all {
	case site.Staging:
		return fmt.Errorf("holds %s; staging needs points, or polygons", holds)
	case site.Travel:
		return fmt.Errorf("holds %s; travel needs polygons", holds)
	}
	return errors.New("holds nothing: draw a shape, and say its kind: " + site.Kinds())
}

// columns are the places of fields among the values that are read of a feature,
// by what they are read for.
type columns map[string]int

const iconColumn = "icon"

// columnsOf finds the fields of a layer: indices into its own, and the place of
// each among what is read.
func (r *siteReader) columnsOf(l *layer) (indices []int, at columns) {
	at = columns{}
	wanted := append([]string{r.field}, site.Attributes...)
	if r.format.drawing {
		wanted = append(wanted[:len(wanted):len(wanted)], iconColumn)
	}
	for _, name := range wanted {
		if i := nameFields(l.fields, name); i != nil {
			at[name] = len(indices)
			indices = append(indices, i[0])
		}
	}
	return indices, at
}

func (r *siteReader) layer(l *layer) error {
	indices, at := r.columnsOf(l)
	named, nameTells := site.KindOf(l.name)
	_, fieldTells := at[r.field]
	l.rewind()
	for {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		f, err := l.next(indices)
		if err != nil || f == nil {
			return err
		}
		value := func(name string) string {
			if i, ok := at[name]; ok {
				return f.values[i]
			}
			return ""
		}
		if isPicture([]string{value(iconColumn)}, f.geometry) || f.geometry == nil && f.err == nil && r.format.drawing {
			continue
		}
		r.place++
		if r.most > 0 && r.place > r.most {
			return &TooMany{"features", r.most}
		}
		kind := r.all
		switch {
		case kind != "":
			err = r.ofAnother(value(r.field))
		case fieldTells:
			kind, err = r.kindOf(value(r.field))
		case nameTells && !r.asked:
			kind = named
		default:
			err = r.noField(l)
		}
		if none := new(NoKind); r.unsaid != "" && errors.As(err, &none) && none.Value == "" {
			kind, err = r.unsaid, nil
		}
		if err == nil {
			err = r.feature(l, f, kind, value)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", site.Title(r.place, strings.TrimSpace(value("name"))), err)
		}
	}
}

// ofAnother refuses a shape that says itself that it is of another kind than the file was given
// for: read as staging or travel, a no-go or a bridge would be lost.
func (r *siteReader) ofAnother(word string) error {
	kind, known := site.KindOf(word)
	if !known || kind == r.all {
		return nil
	}
	return fmt.Errorf("its %s is %s, and the file was given for %s: give it as a site file, or take this shape out", r.field, kind, r.all)
}

func (r *siteReader) kindOf(word string) (site.Kind, error) {
	if kind, known := site.KindOf(word); known {
		return kind, nil
	}
	if strings.TrimSpace(word) == "" {
		return "", &NoKind{words: fmt.Sprintf("its field %s is empty: write one of %s", r.field, site.Kinds())}
	}
	return "", &NoKind{word, fmt.Sprintf("its %s %q is not known: write one of %s", r.field, word, site.Kinds())}
}

func (r *siteReader) noField(l *layer) error {
	has := strings.Join(unique(l.fields), ", ")
	if has == "" {
		has = "none"
	}
	return &NoKind{words: fmt.Sprintf("layer %q has no field %q to say what its shapes are (its fields: %s): add it, name the field that does, or call the layer by their kind: %s",
		l.name, r.field, has, site.Kinds())}
}
