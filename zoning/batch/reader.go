package batch

import (
	"bytes"
	"encoding/gob"
	"fmt"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/vector"
)

// reading is what a reader has found when it is through.
type reading struct {
	Entries  []raster.Entry // that lots touch, in the order named
	Inputs   Inputs         // of them
	Warnings []string       // of the catalogue
}

func (r reading) encode() ([]byte, error) {
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(r)
	return b.Bytes(), err
}

func decodeReading(b []byte) (r reading, err error) {
	err = gob.NewDecoder(bytes.NewReader(b)).Decode(&r)
	return r, err
}

// readAll goes through the boundary file: each lot with its spot, then what they
// touch.
func readAll(job Job, answers *answering) error {
	catalogue, err := raster.NewCatalogue(job.Elevation, job.RasterOptions)
	if err != nil {
		return answers.fail(err)
	}
	defer catalogue.Close()
	entries := catalogue.Entries()
	touched := make([]bool, len(entries))
	features, err := job.Site.Read()
	if err != nil {
		return answers.fail(err)
	}
	for _, f := range features {
		for _, i := range catalogue.NearWide(survey.WaysOf(f)) {
			touched[i] = true
		}
	}
	options := job.ParcelOptions
	options.Look = func(place int) error {
		if how, deadly := job.LookedAtBefore[place]; deadly {
			return &Fault{how, "check its boundary, or draw it again"}
		}
		return answers.send(frame{kind: kindLook, place: place})
	}
	for lot, err := range vector.Lots(job.Parcels, options) {
		if err != nil {
			return answers.fail(err)
		}
		for _, i := range catalogue.NearWide(lot.Ground) {
			touched[i] = true
		}
		if err := answers.lot(lot, spotOf(catalogue, lot.Ground, job.CacheBytes)); err != nil {
			return err
		}
	}
	if err := answers.send(frame{kind: kindLook}); err != nil { // at no lot: it may take long
		return err
	}
	found := reading{Warnings: catalogue.Warnings}
	for i, on := range touched {
		if on {
			found.Entries = append(found.Entries, entries[i])
		}
	}
	if len(found.Entries) == 0 {
		found.Entries = entries // for messages on what is near
	}
	if found.Inputs, err = InputsOfElevation(found.Entries); err != nil {
		return answers.fail(fmt.Errorf("%w; is the elevation being changed?", err))
	}
	body, err := found.encode()
	if err != nil {
		return err
	}
	return answers.send(frame{kind: kindEnd, body: body})
}

// lot sends a lot and, before it, its spot.
func (a *answering) lot(lot vector.Lot, at spot) error {
	f, err := frameOf(lot)
	if err != nil {
		return err
	}
	if err := a.send(frame{kind: kindSpot, place: lot.Place, body: at.append(nil)}); err != nil {
		return err
	}
	return a.send(f)
}
