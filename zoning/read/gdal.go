package read

/*
#include <stdlib.h>
#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <cpl_conv.h>
#include <cpl_string.h>

static int isWGS84(OGRSpatialReferenceH sr) {
	OGRSpatialReferenceH w = OSRNewSpatialReference(NULL);
	OSRSetWellKnownGeogCS(w, "WGS84");
	OSRSetAxisMappingStrategy(w, OAMS_TRADITIONAL_GIS_ORDER);
	OSRSetAxisMappingStrategy(sr, OAMS_TRADITIONAL_GIS_ORDER);
	int same = OSRIsSame(sr, w);
	OSRRelease(w);
	return same;
}

// horizontal returns the horizontal part of a CRS as WKT, to be freed with
// CPLFree, or NULL. WGS 84 is returned as the name "WGS84": asking PROJ for a
// way from it to itself costs 15 ms.
static char *horizontal(OGRSpatialReferenceH given) {
	if (!given) return NULL;
	const char *format[] = {"FORMAT=WKT2", NULL};
	char *wkt = NULL;
	OGRSpatialReferenceH sr = OSRClone(given);
	OSRStripVertical(sr);
	OSRDemoteTo2D(sr, NULL);
	if (isWGS84(sr)) {
		wkt = CPLStrdup("WGS84");
	} else if (OSRExportToWktEx(sr, &wkt, format) != OGRERR_NONE) {
		CPLFree(wkt);
		wkt = NULL;
	}
	OSRRelease(sr);
	return wkt;
}

static char *userHorizontal(const char *text) {
	OGRSpatialReferenceH sr = OSRNewSpatialReference(NULL);
	char *wkt = OSRSetFromUserInput(sr, text) == OGRERR_NONE ? horizontal(sr) : NULL;
	OSRRelease(sr);
	return wkt;
}

// flat makes a geometry two-dimensional and straight-edged, arcs as chords of
// the given angle. It returns NULL for no geometry.
static OGRGeometryH flat(OGRFeatureH f, double chordDeg, int *curved, int *heights) {
	OGRGeometryH g = OGR_F_StealGeometry(f);
	if (!g) return NULL;
	if (OGR_G_HasCurveGeometry(g, FALSE)) { // of a type that admits arcs
		*curved = OGR_G_HasCurveGeometry(g, TRUE);
		OGRGeometryH line = OGR_G_GetLinearGeometry(g, chordDeg, NULL);
		OGR_G_DestroyGeometry(g);
		if (!line) return NULL;
		g = line;
	}
	if (OGR_G_Is3D(g)) {
		OGREnvelope3D e;
		OGR_G_GetEnvelope3D(g, &e);
		*heights = e.MinZ != 0 || e.MaxZ != 0;
	}
	OGR_G_FlattenTo2D(g);
	OGR_G_SetCoordinateDimension(g, 2);
	return g;
}
*/
import "C"

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unsafe"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
)

// chordDeg is the angle of the chords that replace an arc: 1.9 mm from an arc
// of 200 m radius.
const chordDeg = 0.5

// source is an opened file. It is read here, and not through godal, because
// godal hides four things a boundary needs: that reading stopped for an error,
// that a number is null, the order of fields, and curves.
type source struct{ handle C.GDALDatasetH }

// layer is one layer of a source.
type layer struct {
	handle C.OGRLayerH
	name   string
	fields []string
	wkt    string // horizontal CRS as WKT or wgs84Name; "" if none is known
	polys  bool   // its declared type admits polygons
	bare   bool   // a table without geometry
}

// feature is what a boundary needs of a feature.
type feature struct {
	values   []string     // of the fields asked for; "" where null
	geometry orb.Geometry // nil where there is none
	curved   bool         // arcs were replaced by chords
	heights  bool         // had heights other than 0
	err      error        // why the geometry cannot be used
	unwanted bool         // Options.Where does not hold of it
}

// openSource opens a file with the given drivers only.
func openSource(name string, drivers []string) (*source, error) {
	cname := C.CString(name)
	defer C.free(unsafe.Pointer(cname))
	var allowed **C.char
	for _, d := range drivers {
		cd := C.CString(d)
		allowed = C.CSLAddString(allowed, cd)
		C.free(unsafe.Pointer(cd))
	}
	defer func() { C.CSLDestroy(allowed) }()
	var options **C.char
	if slices.Equal(drivers, geoPackage.drivers) { // what is no layer may be a view
		o := C.CString("LIST_ALL_TABLES=NO")
		options = C.CSLAddString(options, o)
		C.free(unsafe.Pointer(o))
	}
	defer func() { C.CSLDestroy(options) }()
	var ds C.GDALDatasetH
	_, failure := quietly(func() {
		ds = C.GDALOpenEx(cname, C.GDAL_OF_VECTOR|C.GDAL_OF_READONLY|C.GDAL_OF_VERBOSE_ERROR, allowed, options, nil)
	})
	if ds == nil {
		if failure == nil {
			failure = errors.New("not recognized")
		}
		return nil, failure
	}
	return &source{ds}, nil
}

func (s *source) close() {
	_, _ = quietly(func() { C.GDALClose(s.handle) })
}

func (s *source) layers() (layers []*layer, err error) {
	_, err = quietly(func() {
		for i := range int(C.GDALDatasetGetLayerCount(s.handle)) {
			h := C.GDALDatasetGetLayer(s.handle, C.int(i))
			if h == nil {
				continue
			}
			l := &layer{handle: h, name: copied(C.OGR_L_GetName(h))}
			defn := C.OGR_L_GetLayerDefn(h)
			for f := range int(C.OGR_FD_GetFieldCount(defn)) {
				l.fields = append(l.fields, copied(C.OGR_Fld_GetNameRef(C.OGR_FD_GetFieldDefn(defn, C.int(f)))))
			}
			l.wkt = owned(C.horizontal(C.OGR_L_GetSpatialRef(h)))
			switch t := C.OGR_GT_Flatten(C.OGR_L_GetGeomType(h)); {
			case t == C.wkbNone:
				l.bare = true
			case t == C.wkbUnknown, t == C.wkbGeometryCollection,
				C.OGR_GT_IsSubClassOf(t, C.wkbSurface) != 0,
				C.OGR_GT_IsSubClassOf(t, C.wkbMultiSurface) != 0,
				C.OGR_GT_IsSubClassOf(t, C.wkbPolyhedralSurface) != 0:
				l.polys = true
			}
			layers = append(layers, l)
		}
	})
	return layers, err
}

func (l *layer) rewind() {
	_, _ = quietly(func() { C.OGR_L_ResetReading(l.handle) })
}

// next returns the layer's next feature with the values of the fields at the
// given indices, "" for an index of -1, or nil at the end.
func (l *layer) next(fields []int) (*feature, error) {
	var f *feature
	_, failure := quietly(func() {
		h := C.OGR_L_GetNextFeature(l.handle)
		if h == nil {
			return
		}
		defer C.OGR_F_Destroy(h)
		f = &feature{values: make([]string, len(fields))}
		for i, field := range fields {
			if field >= 0 && C.OGR_F_IsFieldSetAndNotNull(h, C.int(field)) != 0 {
				f.values[i] = copied(C.OGR_F_GetFieldAsString(h, C.int(field)))
			}
		}
		f.readGeometry(h)
	})
	if f == nil && failure != nil {
		return nil, fmt.Errorf("reading stopped in layer %q: %w", l.name, failure)
	}
	if f != nil && f.geometry == nil && f.err == nil && failure != nil {
		f.err = fmt.Errorf("its geometry cannot be read: %w; draw it again, or export the file anew", failure)
	}
	return f, nil
}

func (f *feature) readGeometry(h C.OGRFeatureH) {
	var curved, heights C.int
	g := C.flat(h, chordDeg, &curved, &heights)
	if g == nil {
		return
	}
	defer C.OGR_G_DestroyGeometry(g)
	f.curved, f.heights = curved != 0, heights != 0
	switch kind := copied(C.OGR_G_GetGeometryName(g)); kind {
	case "TIN", "POLYHEDRALSURFACE", "TRIANGLE":
		f.err = fmt.Errorf("is a surface in space (%s): draw the boundary as a polygon", kind)
		return
	}
	f.geometry, f.err = exportGeometry(g)
}

func exportGeometry(g C.OGRGeometryH) (orb.Geometry, error) {
	buf := make([]byte, int(C.OGR_G_WkbSize(g)))
	if len(buf) == 0 || C.OGR_G_ExportToIsoWkb(g, C.wkbNDR, (*C.uchar)(unsafe.Pointer(&buf[0]))) != C.OGRERR_NONE {
		return nil, errors.New("its geometry cannot be read: draw it again, or export the file anew")
	}
	geom, err := wkb.Unmarshal(buf)
	if err != nil {
		return nil, fmt.Errorf("its geometry (%s) cannot be read", copied(C.OGR_G_GetGeometryName(g)))
	}
	return geom, nil
}

// userCRS returns the horizontal part of a CRS that a person named with a flag, as
// WKT.
func userCRS(name, flag string) (string, error) {
	cname := C.CString(name)
	defer C.free(unsafe.Pointer(cname))
	var wkt string
	_, failure := quietly(func() { wkt = owned(C.userHorizontal(cname)) })
	if wkt == "" {
		return "", fmt.Errorf("%s %q is no CRS that PROJ knows (%v): give a code such as EPSG:2227", flag, name, failure)
	}
	return wkt, nil
}

// copied is a copy of a string of GDAL's.
func copied(c *C.char) string { return strings.ToValidUTF8(C.GoString(c), "?") }

// owned copies a string that GDAL handed over, and frees it.
func owned(c *C.char) string {
	defer C.CPLFree(unsafe.Pointer(c))
	return C.GoString(c)
}
