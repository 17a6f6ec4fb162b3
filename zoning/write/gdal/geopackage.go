package gdal

/*
#include <stdlib.h>
#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>

// addFeature writes one feature, its columns being set already. It takes the
// feature.
static int addFeature(OGRLayerH layer, OGRFeatureH f, void *wkb, int size) {
	OGRGeometryH g = NULL;
	int ok = OGR_G_CreateFromWkb(wkb, NULL, &g, size) == OGRERR_NONE &&
		OGR_F_SetGeometryDirectly(f, g) == OGRERR_NONE &&
		OGR_L_CreateFeature(layer, f) == OGRERR_NONE;
	OGR_F_Destroy(f);
	return ok;
}
*/
import "C"

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"sync/atomic"
	"unsafe"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb/encoding/wkb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// GeoPackage writes a map as an OGC GeoPackage 1.2 (12-128r14): the layers
// zones, lots and, where there are any, hazards and spots of package write, in WGS84. How
// the zones are drawn (SLD) and what goes with their figures lie in its metadata.
// The file is made in memory; w is given a whole one or nothing. The same map gives
// the same bytes: its dates are the first second of 1970.
func GeoPackage(w io.Writer, zm *zoning.ZoneMap, spots []write.Spot) error {
	if err := registerDriver(); err != nil {
		return fmt.Errorf("registering GDAL's GeoPackage driver: %w", err)
	}
	var style strings.Builder
	if err := write.SLD(&style, zm); err != nil {
		return err
	}
	layers, err := layersOf(zm, spots)
	if err != nil {
		return err
	}
	var text []byte
	failure := quietly(func() {
		name := fmt.Sprintf("/vsimem/acreband-%d.gpkg", made.Add(1))
		if err = makePackage(name, layers, strings.Join(write.Remarks(zm), "\n"), style.String()); err == nil {
			text, err = taken(name)
		}
		remove(name)
	})
	if err = errors.Join(err, failure); err != nil {
		return fmt.Errorf("making a GeoPackage: %w", err)
	}
	_, err = w.Write(text)
	return err
}

// layersOf are the layers of a file, those of hazards and of spots where there are any.
func layersOf(zm *zoning.ZoneMap, spots []write.Spot) ([]write.Layer, error) {
	of := []func(*zoning.ZoneMap) (write.Layer, error){write.Zones, write.Lots}
	if len(zm.Hazards) > 0 {
		of = append(of, write.Hazards)
	}
	var layers []write.Layer
	for _, layerOf := range of {
		layer, err := layerOf(zm)
		if err != nil {
			return nil, err
		}
		layers = append(layers, layer)
	}
	if len(spots) > 0 {
		layers = append(layers, write.Spots(spots))
	}
	return layers, nil
}

var registerDriver = sync.OnceValue(func() error { return godal.RegisterVector(godal.GeoPackage) })

// made counts the files made in memory, each under a name of its own.
var made atomic.Int64

// packageDate stands for every date of a file: what GDAL would write is now.
const packageDate = "1970-01-01T00:00:00.000Z"

func makePackage(name string, layers []write.Layer, remarks, style string) error {
	s := &cStrings{}
	defer s.free()
	C.CPLSetThreadLocalConfigOption(s.c("OGR_CURRENT_DATE"), s.c(packageDate))
	defer C.CPLSetThreadLocalConfigOption(s.c("OGR_CURRENT_DATE"), nil)
	// A table of row counts of GDAL's own is of no use to others.
	ds := C.GDALCreate(C.GDALGetDriverByName(s.c("GPKG")), s.c(name), 0, 0, 0, C.GDT_Unknown, s.list("ADD_GPKG_OGR_CONTENTS=NO", "VERSION=1.2"))
	if ds == nil {
		return errors.New("it cannot be begun")
	}
	p := geoPackageWriter{ds: ds, strings: s}
	err := p.fill(layers, remarks, style)
	C.GDALClose(ds)
	return err
}

type geoPackageWriter struct {
	ds      C.GDALDatasetH
	strings *cStrings
}

func (p geoPackageWriter) fill(layers []write.Layer, remarks, style string) error {
	srs := C.OSRNewSpatialReference(nil)
	defer C.OSRRelease(srs)
	C.OSRSetWellKnownGeogCS(srs, p.strings.c("WGS84"))
	C.OSRSetAxisMappingStrategy(srs, C.OAMS_TRADITIONAL_GIS_ORDER)
	if C.GDALDatasetStartTransaction(p.ds, 0) != C.OGRERR_NONE {
		return errors.New("no transaction can be begun")
	}
	for _, l := range layers {
		if err := p.layer(l, srs); err != nil {
			return fmt.Errorf("layer %s: %w", l.Name, err)
		}
	}
	if C.GDALDatasetCommitTransaction(p.ds) != C.OGRERR_NONE {
		return errors.New("its layers cannot be committed")
	}
	// Setting an item of metadata makes the tables that the style goes into.
	C.GDALSetMetadataItem(C.GDALMajorObjectH(p.ds), p.strings.c("REMARKS"), p.strings.c(remarks), nil)
	C.GDALFlushCache(p.ds)
	return p.styleOf(layers[0].Name, style)
}

func (p geoPackageWriter) layer(l write.Layer, srs C.OGRSpatialReferenceH) error {
	s := p.strings
	var shape C.OGRwkbGeometryType = C.wkbMultiPolygon
	switch l.Name {
	case write.SpotsLayer:
		shape = C.wkbPoint
	case write.HazardsLayer:
		shape = C.wkbUnknown // of every kind
	}
	layer := C.GDALDatasetCreateLayer(p.ds, s.c(l.Name), srs, shape, s.list("GEOMETRY_NAME=geom", "FID=fid", "DESCRIPTION="+l.Words))
	if layer == nil {
		return errors.New("it cannot be made")
	}
	kinds := map[write.Kind]C.OGRFieldType{write.Text: C.OFTString, write.Whole: C.OFTInteger64, write.Number: C.OFTReal}
	for _, c := range l.Columns {
		field := C.OGR_Fld_Create(s.c(c.Name), kinds[c.Kind])
		failed := C.OGR_L_CreateField(layer, field, 0) != C.OGRERR_NONE
		C.OGR_Fld_Destroy(field)
		if failed {
			return fmt.Errorf("its column %s cannot be made", c.Name)
		}
	}
	defn := C.OGR_L_GetLayerDefn(layer)
	for i, r := range l.Rows {
		if !p.row(layer, defn, r) {
			return fmt.Errorf("its row %d cannot be written", i+1)
		}
	}
	return nil
}

func (p geoPackageWriter) row(layer C.OGRLayerH, defn C.OGRFeatureDefnH, r write.Row) bool {
	shape, err := wkb.Marshal(r.Shape)
	if err != nil {
		return false
	}
	f := C.OGR_F_Create(defn)
	for i, v := range r.Values {
		switch v := v.(type) {
		case string:
			text := C.CString(strings.ReplaceAll(strings.ToValidUTF8(v, "?"), "\x00", ""))
			C.OGR_F_SetFieldString(f, C.int(i), text)
			C.free(unsafe.Pointer(text))
		case int64:
			C.OGR_F_SetFieldInteger64(f, C.int(i), C.GIntBig(v))
		case float64:
			C.OGR_F_SetFieldDouble(f, C.int(i), C.double(v))
		default:
			C.OGR_F_SetFieldNull(f, C.int(i))
		}
	}
	return C.addFeature(layer, f, unsafe.Pointer(&shape[0]), C.int(len(shape))) != 0
}

// styleOf keeps a style as the metadata of a layer, of which SLD is the standard.
func (p geoPackageWriter) styleOf(layer, style string) error {
	for _, sql := range []string{
		"INSERT INTO gpkg_metadata (md_scope, md_standard_uri, mime_type, metadata) VALUES ('featureType', 'http://www.opengis.net/sld', 'application/vnd.ogc.sld+xml', " + quoted(style) + ")",
		"INSERT INTO gpkg_metadata_reference (reference_scope, table_name, timestamp, md_file_id) VALUES ('table', " + quoted(layer) + ", '" + packageDate + "', last_insert_rowid())",
	} {
		C.CPLErrorReset()
		if out := C.GDALDatasetExecuteSQL(p.ds, p.strings.c(sql), nil, nil); out != nil {
			C.GDALDatasetReleaseResultSet(p.ds, out)
		}
		if C.CPLGetLastErrorType() >= C.CE_Failure {
			return errors.New("its style cannot be written")
		}
	}
	return nil
}

// quoted is text as SQL has it.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", "''") + "'" }

// taken copies a file in memory.
func taken(name string) ([]byte, error) {
	cname := C.CString(name)
	defer C.free(unsafe.Pointer(cname))
	var size C.vsi_l_offset
	data := C.VSIGetMemFileBuffer(cname, &size, 0)
	if data == nil {
		return nil, errors.New("it was not written")
	}
	return append([]byte(nil), unsafe.Slice((*byte)(unsafe.Pointer(data)), int(size))...), nil
}

func remove(name string) {
	cname := C.CString(name)
	defer C.free(unsafe.Pointer(cname))
	C.VSIUnlink(cname)
}

// cStrings are copies of strings for C, let go of together.
type cStrings struct {
	texts []*C.char
	lists []**C.char
}

func (s *cStrings) c(text string) *C.char {
	c := C.CString(text)
	s.texts = append(s.texts, c)
	return c
}

// list is a list of options, such as FID=fid.
func (s *cStrings) list(options ...string) **C.char {
	var list **C.char
	for _, o := range options {
		list = C.CSLAddString(list, s.c(o))
	}
	s.lists = append(s.lists, list)
	return list
}

func (s *cStrings) free() {
	for _, t := range s.texts {
		C.free(unsafe.Pointer(t))
	}
	for _, l := range s.lists {
		C.CSLDestroy(l)
	}
}
