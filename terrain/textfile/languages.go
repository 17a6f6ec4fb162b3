package textfile

// jsonText knows JSON. Commas count, brackets and braces nest; strings are passed over.
type jsonText struct{ quoted, escaped bool }

func (t *jsonText) next(c byte) (sign bool, deeper int, refused string) {
	switch {
	case t.escaped:
		t.escaped = false
	case t.quoted:
		t.escaped, t.quoted = c == '\\', c != '"'
	case c == '"':
		t.quoted = true
	case c == '[' || c == '{':
		return true, 1, ""
	case c == ']' || c == '}':
		return false, -1, ""
	case c == ',' || c == ':':
		return true, 0, ""
	}
	return false, 0, ""
}

// yamlText knows YAML as far as a count needs it: what its lexer makes a token of, and the
// brackets that nest.
type yamlText struct{}

func (yamlText) next(c byte) (sign bool, deeper int, refused string) {
	switch c {
	case '[', '{':
		return true, 1, ""
	case ']', '}':
		return true, -1, ""
	case '\n', ',', ':', '-', '?', '&', '*', '!', '|', '>', '"', '\'', '#', '%', '<':
		return true, 0, ""
	}
	return false, 0, ""
}

// xmlText knows XML. Elements nest; elements and attributes count, and so do the blanks
// between numbers of a list, as KML writes corners.
type xmlText struct {
	state xmlState
	first byte // behind the bracket of a tag
	last  [2]byte
	quote byte
	seen  int // bytes of a tag, or of a comment
	blank bool
}

type xmlState int

const (
	inText xmlState = iota
	inTag
	inComment
	inInstruction
	inCDATA
)

// openings of what is no element.
const (
	commentOpens = "!--"
	cdataOpens   = "![CDATA["
)

func (t *xmlText) next(c byte) (sign bool, deeper int, refused string) {
	if c == 0 {
		return false, 0, "it is text of two bytes a letter: save it as UTF-8"
	}
	defer func() { t.last[0], t.last[1] = t.last[1], c }()
	switch t.state {
	case inText:
		blank := c == ' ' || c == '\n' || c == '\t' || c == '\r'
		sign = blank && !t.blank
		t.blank = blank
		if c == '<' {
			t.state, t.seen, t.first, t.quote = inTag, 0, 0, 0
			return true, 0, ""
		}
		return sign, 0, ""
	case inComment:
		if c == '>' && t.last == [2]byte{'-', '-'} && t.seen >= 2 { // not the dashes it began with
			t.state = inText
		}
		t.seen++
		return false, 0, ""
	case inInstruction:
		if c == '>' && t.last[1] == '?' {
			t.state, t.blank = inText, true
		}
		return false, 0, ""
	case inCDATA:
		if c == '>' && t.last == [2]byte{']', ']'} {
			t.state = inText
		}
		return false, 0, ""
	}
	return t.tag(c)
}

// tag takes a byte between angle brackets.
func (t *xmlText) tag(c byte) (sign bool, deeper int, refused string) {
	if t.seen == 0 {
		t.first = c
	}
	t.seen++
	switch {
	case t.seen == 1 && c == '?':
		t.state = inInstruction // in which quotes mean nothing
	case t.quote != 0:
		if c == t.quote {
			t.quote = 0
		}
	case t.first == '!':
		return t.declaration(c)
	case c == '"' || c == '\'':
		t.quote = c
		return true, 0, ""
	case c == '>':
		t.state, t.blank = inText, true
		switch {
		case t.first == '/':
			return false, -1, ""
		case t.last[1] != '/':
			return false, 1, ""
		}
	}
	return false, 0, ""
}

// declaration takes a byte of what begins with <!.
func (t *xmlText) declaration(c byte) (sign bool, deeper int, refused string) {
	opens := func(text string) bool { return t.seen <= len(text) && c == text[t.seen-1] }
	switch {
	case t.seen == len(commentOpens) && opens(commentOpens) && t.last[1] == '-':
		t.state, t.seen = inComment, 0
	case t.seen == len(cdataOpens) && opens(cdataOpens):
		t.state = inCDATA
	case c == '[' && t.seen > len(cdataOpens):
		return false, 0, "it declares entities of its own, which are not taken"
	case c == '>':
		t.state, t.blank = inText, true
	}
	return false, 0, ""
}

// tableText knows comma-separated values: cells count.
type tableText struct{}

func (tableText) next(c byte) (sign bool, deeper int, refused string) {
	return c == ',' || c == '\n' || c == '\r', 0, ""
}
