package read

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/acreband/acreband/terrain/textfile"
)

// Limits of text before GDAL parses it. It keeps a value of JSON in some 80 bytes, a
// drawing whole, and a lot of a million corners is 4 million signs.
var (
	jsonLimits = textfile.Limits{Bytes: 8 << 30, Each: 1 << 24, Depth: 32}
	xmlLimits  = textfile.Limits{Bytes: 512 << 20, Each: 1 << 24, Depth: 100}
)

// checkText looks at a file of text; of other formats it says nothing.
func (f format) checkText(file string) error {
	r, err := os.Open(file)
	if err != nil {
		return err
	}
	defer r.Close()
	return f.checkTextFrom(r)
}

func (f format) checkTextFrom(r io.Reader) error {
	var err error
	switch f.name {
	case geoJSON.name:
		err = jsonLimits.JSONFrom(r)
	case keyhole.name, gpx.name:
		err = xmlLimits.XMLFrom(r)
	}
	var much *textfile.TooMuch
	if errors.As(err, &much) {
		return fmt.Errorf("cannot be read as %s: %w: give the part of it that belongs to this job, exported anew", f.name, much)
	}
	return err
}

// checkMemberText looks at a member of a zip file, which may unfold to a thousand times
// what the file takes.
func (f format) checkMemberText(member *zip.File) error {
	r, err := member.Open()
	if err != nil {
		return fmt.Errorf("is a damaged zip file (%v)", err)
	}
	defer r.Close()
	err = f.checkTextFrom(r)
	if errors.Is(err, zip.ErrChecksum) || errors.Is(err, zip.ErrFormat) || errors.Is(err, io.ErrUnexpectedEOF) {
		return fmt.Errorf("is a damaged zip file (%v)", err)
	}
	return err
}
