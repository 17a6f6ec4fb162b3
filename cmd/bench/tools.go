package main

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/coverage"
)

//go:embed gdal_tools.sh
var toolsScript []byte

// slopeFleet makes acreband's zones those of the script.
//
//go:embed fleet.yaml
var slopeFleet []byte

// missingTools says which of the programs that the script runs are not here, or
// why they do not run; "" where all is well.
func missingTools() string {
	var missing []string
	for _, tool := range []string{"gdal_translate", "gdaldem", "gdal_polygonize.py", "ogr2ogr"} {
		if _, err := exec.LookPath(tool); err != nil {
			missing = append(missing, tool)
		}
	}
	if len(missing) > 0 {
		return strings.Join(missing, ", ") + " not found"
	}
	if said, err := exec.Command("gdal_polygonize.py", "--help").CombinedOutput(); err != nil {
		return fmt.Sprintf("gdal_polygonize.py does not run: %v: %s", err, lastLine(said))
	}
	return ""
}

func lastLine(text []byte) string {
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	return lines[len(lines)-1]
}

// acresByTools measures what the script wrote, class by class.
func acresByTools(path string) ([]float64, error) {
	var zones struct {
		Features []struct {
			Properties struct{ Class int }
			Geometry   struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(text, &zones); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	acres := make([]float64, len(classes))
	for _, f := range zones.Features {
		var ground orb.MultiPolygon
		switch f.Geometry.Type {
		case "MultiPolygon":
			err = json.Unmarshal(f.Geometry.Coordinates, &ground)
		case "Polygon":
			ground = make(orb.MultiPolygon, 1)
			err = json.Unmarshal(f.Geometry.Coordinates, &ground[0])
		default:
			err = fmt.Errorf("a zone is a %s", f.Geometry.Type)
		}
		if err == nil && (f.Properties.Class < 1 || f.Properties.Class > len(classes)) {
			err = fmt.Errorf("a zone is of class %d", f.Properties.Class)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		acres[f.Properties.Class-1] += coverage.Acres(ground)
	}
	return acres, nil
}

// classes are the bands of [slopeFleet] in the order of the script's classes.
var classes = [...]string{"gentle", "middling", "steep", "no-machine"}

// acresByAcreband reads the acres that acreband wrote, class by class.
func acresByAcreband(path string) ([]float64, error) {
	var zones struct {
		Summary struct{ Acres map[string]float64 }
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(text, &zones); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	acres := make([]float64, len(classes))
	for i, band := range classes {
		acres[i] = zones.Summary.Acres[band]
	}
	return acres, nil
}
