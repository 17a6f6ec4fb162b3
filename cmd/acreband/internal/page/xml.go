package page

import (
	"bytes"
	"errors"
	"fmt"
)

// checkXML refuses XML that declares entities, by which a file may name another or
// swell without end, and elements nested so deep that reading them takes minutes. It
// needs no more of XML than where tags begin and end. Package textfile takes a document
// type that declares nothing; from strangers on a network none is taken.
func checkXML(text []byte, mostDeep int) error {
	if bytes.IndexByte(text, 0) >= 0 {
		return errors.New("it is text of two bytes a letter: save it as UTF-8")
	}
	depth := 0
	for {
		at := bytes.IndexByte(text, '<')
		if at < 0 {
			return nil
		}
		text = text[at:]
		switch {
		case bytes.HasPrefix(text, []byte("<!--")):
			text = after(text[4:], "-->") // not the dashes it began with
		case bytes.HasPrefix(text, []byte("<![CDATA[")):
			text = after(text[9:], "]]>")
		case bytes.HasPrefix(text, []byte("<!")):
			return errors.New("it declares a document type or entities, which a boundary needs none of: save it again from the program it came from")
		case bytes.HasPrefix(text, []byte("<?")):
			text = after(text[2:], "?>")
		case bytes.HasPrefix(text, []byte("</")):
			depth--
			text = after(text, ">")
		default:
			end := tagEnd(text)
			if end == 0 || text[end-1] != '/' {
				depth++
			}
			if depth > mostDeep {
				return fmt.Errorf("its elements are nested more than %d deep, which no boundary is", mostDeep)
			}
			text = text[end:]
		}
	}
}

// after is what follows a mark, nothing where there is none.
func after(text []byte, mark string) []byte {
	_, rest, _ := bytes.Cut(text, []byte(mark))
	return rest
}

// tagEnd is where the tag that text begins with is closed; a quoted value may hold
// what looks like its end.
func tagEnd(text []byte) int {
	quote := byte(0)
	for i, c := range text {
		switch {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '>':
			return i
		}
	}
	return len(text)
}
