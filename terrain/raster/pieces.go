package raster

import (
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
)

// WritePieceOfClasses writes part of a raster of classes into a tiled GeoTIFF on disk,
// to be put together by [WriteWhole]. Cells are as in [WriteClasses].
func WritePieceOfClasses(path string, h Header, cells []uint8) error {
	return h.writePiece(path, godal.Byte, len(cells), cells, NoClass)
}

// WritePieceOfValues is [WritePieceOfClasses] for cells as in [WriteValues].
func WritePieceOfValues(path string, h Header, cells []float32) error {
	return h.writePiece(path, godal.Float32, len(cells), cells, math.NaN())
}

// writePiece makes the piece in memory, for GDAL does not always say that a disk is full,
// and a piece cut short would be taken for a whole one.
func (h Header) writePiece(path string, t godal.DataType, n int, cells any, nodata float64) error {
	if err := cmp.Or(h.check(), h.checkFilled(n)); err != nil {
		return err
	}
	if err := registerCOG(); err != nil {
		return fmt.Errorf("registering GDAL's GeoTIFF writer: %w", err)
	}
	name := fmt.Sprintf("/vsimem/acreband-%d.tif", made.Add(1))
	defer func() { _ = godal.VSIUnlink(name, godal.ErrLogger(quiet)) }() // there is none where writing failed
	if err := h.makePiece(name, t, cells, nodata); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(copyFrom(f, name), f.Close())
}

func (h Header) makePiece(name string, t godal.DataType, cells any, nodata float64) (err error) {
	silently := godal.ErrLogger(quiet)
	ds, err := godal.Create(godal.GTiff, name, 1, t, h.Cols, h.Rows, silently,
		godal.CreationOption(append([]string{"TILED=YES"}, pieceCodec(t)...)...))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, ds.Close(silently)) }()
	return errors.Join(
		ds.SetGeoTransform(h.Place.Grid, silently),
		ds.SetProjection(h.Place.CRS, silently),
		ds.SetMetadata("REMARKS", strings.Join(h.Remarks, "\n"), silently),
		ds.Bands()[0].SetNoData(nodata, silently),
		ds.Bands()[0].Write(0, 0, cells, h.Cols, h.Rows, silently),
	)
}

// pieceCodec is how pieces are compressed: those of classes, long runs of equal bytes, by
// counting them, which takes next to no time.
func pieceCodec(t godal.DataType) []string {
	if t == godal.Float32 {
		return []string{"COMPRESS=LZW", "PREDICTOR=3"}
	}
	return []string{"COMPRESS=PACKBITS"}
}

// wholeOptions make a large file that is read piece by piece. LZW over blocks of 512
// takes less than half the time of [cogOptions], and no more room for classes.
// Overviews are as there.
var wholeOptions = []string{"-of", "COG", "-co", "COMPRESS=LZW", "-co", "BLOCKSIZE=512",
	"-co", "OVERVIEWS=AUTO", "-co", "OVERVIEW_RESAMPLING=NEAREST", "-co", "BIGTIFF=IF_SAFER"}

// RemarksOf reads the remarks that a piece was written with, and fails where the file
// is none.
func RemarksOf(path string) ([]string, error) {
	if err := registerCOG(); err != nil {
		return nil, err
	}
	ds, err := godal.Open(path, godal.RasterOnly(), godal.SiblingFiles(), godal.ErrLogger(quiet))
	if err != nil {
		return nil, err
	}
	text := ds.Metadata("REMARKS")
	if err := ds.Close(godal.ErrLogger(quiet)); err != nil || text == "" {
		return nil, err
	}
	return strings.Split(text, "\n"), nil
}

// Piece is a file that holds a window of a raster.
type Piece struct {
	Path string
	At   terrain.Window
}

// WriteWhole copies pieces into one cloud-optimised GeoTIFF on disk, of classes, or of
// values where classes is nil. What no piece covers is nodata. It takes no more memory
// than GDAL's cache of blocks, and so many threads to compress.
func WriteWhole(path string, h Header, pieces []Piece, classes []Class, threads int) (err error) {
	if err := cmp.Or(h.check(), checkClasses(classes)); err != nil {
		return err
	}
	for _, p := range pieces {
		if p.At.Empty() {
			return fmt.Errorf("%s: the piece holds no cell (%v)", p.Path, p.At)
		}
	}
	defer func() { err = noRoom(path, h.mostBytes(godal.Float32.Size()), err) }()
	if err := errors.Join(registerCOG(), godal.RegisterRaster(godal.VRT)); err != nil {
		return err
	}
	text, err := h.vrt(pieces, classes)
	if err != nil {
		return err
	}
	silently := godal.ErrLogger(quiet)
	ds, err := godal.Open(string(text), silently)
	if err != nil {
		return fmt.Errorf("putting %d pieces together: %w", len(pieces), err)
	}
	defer func() { _ = ds.Close(silently) }() // it was read
	options := append(slices.Clone(wholeOptions), "-co", "NUM_THREADS="+strconv.Itoa(threads))
	if classes == nil {
		options = append(options, "-co", "PREDICTOR=YES")
	}
	out, err := ds.Translate(path, options, silently)
	if err != nil {
		return fmt.Errorf("making a cloud-optimized copy: %w", err)
	}
	if err := out.Close(silently); err != nil {
		return err
	}
	return decodes(path)
}

// decodes reads all blocks of a raster that was just written: GDAL 3.10 may leave one
// cut short on a full disk and say nothing.
func decodes(path string) (err error) {
	silently := godal.ErrLogger(quiet)
	ds, err := godal.Open(path, godal.RasterOnly(), godal.SiblingFiles(), silently, godal.ConfigOption("GDAL_NUM_THREADS=ALL_CPUS"))
	if err != nil {
		return fmt.Errorf("reading the copy again: %w", err)
	}
	defer func() { _ = ds.Close(silently) }() // it was read
	base := ds.Bands()[0]
	for _, band := range append([]godal.Band{base}, base.Overviews()...) {
		st := band.Structure()
		var strip any = make([]uint8, st.SizeX*st.BlockSizeY)
		if st.DataType == godal.Float32 {
			strip = make([]float32, st.SizeX*st.BlockSizeY)
		}
		for row := 0; row < st.SizeY; row += st.BlockSizeY {
			if err := band.Read(0, row, strip, st.SizeX, min(st.BlockSizeY, st.SizeY-row), silently); err != nil {
				return fmt.Errorf("reading the copy again: %w", err)
			}
		}
	}
	return nil
}

// vrt describes pieces as one raster, in GDAL's own words for that.
func (h Header) vrt(pieces []Piece, classes []Class) ([]byte, error) {
	v := vrtDataset{Cols: h.Cols, Rows: h.Rows, SRS: h.Place.CRS, Metadata: vrtMetadata{Items: []vrtItem{{"REMARKS", strings.Join(h.Remarks, "\n")}}}}
	var grid []string
	for _, k := range h.Place.Grid {
		grid = append(grid, strconv.FormatFloat(k, 'g', -1, 64))
	}
	v.Grid = strings.Join(grid, ",")
	b := &v.Band
	b.Number, b.Type, b.NoData, b.Words = 1, "Float32", "nan", h.Words
	if classes != nil {
		b.Type, b.NoData, b.Meaning = "Byte", strconv.Itoa(NoClass), "Palette"
		b.Colours = &vrtColours{}
		for i, c := range classes {
			b.Metadata.Items = append(b.Metadata.Items, vrtItem{"CLASS_" + strconv.Itoa(i), c.Name})
			b.Colours.Entries = append(b.Colours.Entries, vrtColour{c.Colour.R, c.Colour.G, c.Colour.B, 255})
		}
		for range NoClass + 1 - len(classes) {
			b.Colours.Entries = append(b.Colours.Entries, vrtColour{255, 255, 255, 255})
		}
	}
	for _, p := range pieces {
		full, err := filepath.Abs(p.Path)
		if err != nil {
			return nil, err
		}
		size := vrtRect{0, 0, p.At.Cols(), p.At.Rows()}
		b.Sources = append(b.Sources, vrtSource{File: full, Band: 1, From: size, To: vrtRect{p.At.Col0, p.At.Row0, size.Cols, size.Rows}})
	}
	return xml.Marshal(v)
}

type vrtDataset struct {
	XMLName  xml.Name    `xml:"VRTDataset"`
	Cols     int         `xml:"rasterXSize,attr"`
	Rows     int         `xml:"rasterYSize,attr"`
	SRS      string      `xml:"SRS"`
	Grid     string      `xml:"GeoTransform"`
	Metadata vrtMetadata `xml:"Metadata"`
	Band     vrtBand     `xml:"VRTRasterBand"`
}

type vrtMetadata struct {
	Items []vrtItem `xml:"MDI"`
}

type vrtItem struct {
	Key  string `xml:"key,attr"`
	Text string `xml:",chardata"`
}

type vrtBand struct {
	Type     string      `xml:"dataType,attr"`
	Number   int         `xml:"band,attr"`
	Metadata vrtMetadata `xml:"Metadata"`
	Words    string      `xml:"Description"`
	NoData   string      `xml:"NoDataValue"`
	Meaning  string      `xml:"ColorInterp,omitempty"`
	Colours  *vrtColours `xml:"ColorTable"`
	Sources  []vrtSource `xml:"SimpleSource"`
}

type vrtColours struct {
	Entries []vrtColour `xml:"Entry"`
}

type vrtColour struct {
	Red   uint8 `xml:"c1,attr"`
	Green uint8 `xml:"c2,attr"`
	Blue  uint8 `xml:"c3,attr"`
	Alpha uint8 `xml:"c4,attr"`
}

type vrtSource struct {
	File string  `xml:"SourceFilename"`
	Band int     `xml:"SourceBand"`
	From vrtRect `xml:"SrcRect"`
	To   vrtRect `xml:"DstRect"`
}

type vrtRect struct {
	Col  int `xml:"xOff,attr"`
	Row  int `xml:"yOff,attr"`
	Cols int `xml:"xSize,attr"`
	Rows int `xml:"ySize,attr"`
}
