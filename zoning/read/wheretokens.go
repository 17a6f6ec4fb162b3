package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// token is a word, a sign, or a value.
type token struct {
	kind tokenKind
	text string
}

type tokenKind int

const (
	word tokenKind = iota
	sign
	quotedName
	quotedText
	number
)

func (t token) String() string { return strconv.Quote(t.text) }

// is reports whether a token is a keyword or a sign.
func (t token) is(what string) bool {
	return (t.kind == word || t.kind == sign) && strings.EqualFold(t.text, what)
}

func tokensOf(text string) ([]token, error) {
	var out []token
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case unicode.IsSpace(r):
			i += size
		case r == '\'' || r == '"':
			inside, n, ok := inQuotes(text[i:])
			if !ok {
				return nil, fmt.Errorf("%s is not closed", text[i:])
			}
			kind := quotedText
			if r == '"' {
				kind = quotedName
			}
			out = append(out, token{kind, inside})
			i += n
		case strings.ContainsRune("=<>!(),", r):
			n := 1
			if two := text[i:min(i+2, len(text))]; slices.Contains([]string{"<=", ">=", "<>", "!="}, two) {
				n = 2
			}
			out = append(out, token{sign, text[i : i+n]})
			i += n
		default:
			n := strings.IndexFunc(text[i:], func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("=<>!(),'\"", r) })
			if n < 0 {
				n = len(text) - i
			}
			kind := word
			if _, err := strconv.ParseFloat(text[i:i+n], 64); err == nil {
				kind = number
			}
			out = append(out, token{kind, text[i : i+n]})
			i += n
		}
	}
	return out, nil
}

// inQuotes reads a text in quotes, a quote in it being written twice.
func inQuotes(text string) (inside string, size int, ok bool) {
	q := text[:1]
	var b strings.Builder
	for i := 1; i < len(text); i++ {
		switch {
		case text[i:i+1] != q:
			b.WriteByte(text[i])
		case strings.HasPrefix(text[i+1:], q):
			b.WriteByte(q[0])
			i++
		default:
			return b.String(), i + 1, true
		}
	}
	return "", 0, false
}
