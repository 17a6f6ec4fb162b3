package main

import (
	"errors"
	"log"
	"os"

	"github.com/airbusgeo/godal"
)

// writeEndless is the script command endless: a GeoPackage whose one layer is a view with
// rows without end.
func writeEndless() {
	log.SetFlags(0)
	if len(os.Args) != 2 {
		log.Fatal("usage: endless FILE")
	}
	if err := makeEndless(os.Args[1]); err != nil {
		log.Fatal("endless: ", err)
	}
}

func makeEndless(file string) error {
	if err := godal.RegisterVector(godal.GeoPackage); err != nil {
		return err
	}
	ds, err := godal.CreateVector(godal.GeoPackage, file)
	if err != nil {
		return err
	}
	wgs84, err := godal.NewSpatialRefFromEPSG(4326)
	if err != nil {
		return err
	}
	defer wgs84.Close()
	if _, err := ds.CreateLayer("lots", wgs84, godal.GTPolygon); err != nil {
		return err
	}
	for _, sql := range []string{
		"CREATE VIEW v AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT i AS fid, NULL AS geom FROM n",
		"INSERT INTO gpkg_contents(table_name, data_type, identifier, srs_id) VALUES ('v', 'features', 'v', 4326)",
		"INSERT INTO gpkg_geometry_columns VALUES ('v', 'geom', 'POLYGON', 4326, 0, 0)",
	} {
		if _, err := ds.ExecuteSQL(sql); err != nil {
			return errors.Join(err, ds.Close())
		}
	}
	return ds.Close()
}
