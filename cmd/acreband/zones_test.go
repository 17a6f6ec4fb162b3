package main

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
)

// listZones is the script command zones: of a zone map, a line for each zone
// with its lot, band and acres, and the parcel's acres.
func listZones() {
	log.SetFlags(0)
	if len(os.Args) != 2 {
		log.Fatal("usage: zones FILE")
	}
	text, err := os.ReadFile(os.Args[1])
	if err != nil {
		log.Fatal("zones: ", err)
	}
	var m struct {
		Type    string
		Summary struct {
			ParcelAcres float64 `json:"parcel_acres"`
		}
		Features []struct {
			Properties struct {
				Lot, Zone string
				Acres     float64
			}
		}
	}
	if err := json.Unmarshal(text, &m); err != nil {
		log.Fatal("zones: ", err)
	}
	if m.Type != "FeatureCollection" {
		log.Fatalf("zones: a %q", m.Type)
	}
	for _, f := range m.Features {
		fmt.Printf("%s, %s: %.3f\n", f.Properties.Lot, f.Properties.Zone, f.Properties.Acres)
	}
	fmt.Printf("parcel: %.3f\n", m.Summary.ParcelAcres)
}
