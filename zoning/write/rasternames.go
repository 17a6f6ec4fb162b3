package write

import (
	"encoding/xml"
	"io"
	"strconv"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// BandNames writes what lies beside a raster of [BandCells], under its name
// with .aux.xml added: names, colours and acres of its bands, as GDAL keeps them (a
// TIFF has no place for them).
func BandNames(w io.Writer, zm *zoning.ZoneMap) error {
	if err := zm.Check(); err != nil {
		return err
	}
	file := auxFile{Band: auxBand{Number: 1, Table: auxTable{Type: "thematic", Fields: []auxField{
		{0, "value", auxInteger, auxMinMax},
		{1, "name", auxString, auxName},
		{2, "zone", auxString, auxGeneric},
		{3, zm.Units.Areas(), auxReal, auxGeneric},
		{4, "red", auxInteger, auxRed},
		{5, "green", auxInteger, auxGreen},
		{6, "blue", auxInteger, auxBlue},
	}}}}
	bands := zm.Fleet.Bands()
	acres := zm.BandAcres(len(bands))
	for i, b := range bands {
		file.Band.Names = append(file.Band.Names, b.Name)
		fill, _ := palette.Flat(i, len(zm.Fleet))
		file.Band.Table.Rows = append(file.Band.Table.Rows, auxRow{i, []string{
			strconv.Itoa(i), b.Name, b.Key, strconv.FormatFloat(zm.Units.Area(acres[i]), 'f', 9, 64),
			strconv.Itoa(int(fill.R)), strconv.Itoa(int(fill.G)), strconv.Itoa(int(fill.B)),
		}})
	}
	out := xml.NewEncoder(w)
	out.Indent("", " ")
	if err := out.Encode(file); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// Types and uses of a raster attribute table's columns (gdal.h: GDALRATFieldType,
// GDALRATFieldUsage).
const (
	auxInteger = 0
	auxReal    = 1
	auxString  = 2

	auxGeneric = 0
	auxName    = 2
	auxMinMax  = 5
	auxRed     = 6
	auxGreen   = 7
	auxBlue    = 8
)

type auxFile struct {
	XMLName xml.Name `xml:"PAMDataset"`
	Band    auxBand  `xml:"PAMRasterBand"`
}

type auxBand struct {
	Number int      `xml:"band,attr"`
	Names  []string `xml:"CategoryNames>Category"`
	Table  auxTable `xml:"GDALRasterAttributeTable"`
}

type auxTable struct {
	Type   string     `xml:"tableType,attr"`
	Fields []auxField `xml:"FieldDefn"`
	Rows   []auxRow   `xml:"Row"`
}

type auxField struct {
	Index int    `xml:"index,attr"`
	Name  string `xml:"Name"`
	Type  int    `xml:"Type"`
	Usage int    `xml:"Usage"`
}

type auxRow struct {
	Index int      `xml:"index,attr"`
	Cells []string `xml:"F"`
}
