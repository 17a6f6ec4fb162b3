package textfile_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"testing"

	"github.com/acreband/acreband/terrain/textfile"
)

// FuzzJSON holds the depth of text that is JSON to that which the standard library finds.
func FuzzJSON(f *testing.F) {
	f.Add([]byte(`{"a":[1,{"b":"\"[{"}],"c":[[]]}`))
	f.Add([]byte(`[[[[]]]]`))
	f.Fuzz(func(t *testing.T, text []byte) {
		err := textfile.Limits{Depth: 3}.JSON(text)
		if !json.Valid(text) {
			return
		}
		depth, most := 0, 0
		for d := json.NewDecoder(bytes.NewReader(text)); ; {
			token, end := d.Token()
			if end != nil {
				break
			}
			switch token {
			case json.Delim('['), json.Delim('{'):
				depth++
				most = max(most, depth)
			case json.Delim(']'), json.Delim('}'):
				depth--
			}
		}
		if (err != nil) != (most > 3) {
			t.Fatalf("%q is %d deep: %v", text, most, err)
		}
	})
}

// FuzzXML does so with XML: what is deeper than the limit is never let through.
func FuzzXML(f *testing.F) {
	f.Add([]byte(`<a><!-- <b> --><b c="<>'/>"><![CDATA[<c>]]><d/></b></a>`))
	f.Add([]byte(`<?xml version="1.0"?><!DOCTYPE a><a><b><c><d></d></c></b></a>`))
	f.Fuzz(func(t *testing.T, text []byte) {
		err := textfile.Limits{Depth: 3}.XML(text)
		depth, most := 0, 0
		for d := xml.NewDecoder(bytes.NewReader(text)); ; {
			token, end := d.Token()
			if errors.Is(end, io.EOF) {
				break
			}
			if end != nil {
				return // no XML
			}
			switch token.(type) {
			case xml.StartElement:
				depth++
				most = max(most, depth)
			case xml.EndElement:
				depth--
			}
		}
		if err == nil && most > 3 {
			t.Fatalf("%q is %d deep", text, most)
		}
		if err != nil && most <= 3 && !bytes.Contains(text, []byte("<!")) && !bytes.Contains(text, []byte{0}) {
			t.Fatalf("%q is %d deep: %v", text, most, err)
		}
	})
}
