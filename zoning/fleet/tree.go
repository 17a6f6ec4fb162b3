package fleet

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	yaml "github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"github.com/acreband/acreband/terrain/textfile"
)

// A full fleet that uses every key of machines, plan and job is under half of the
// tokens and, with a page of comments for each machine, a tenth of the bytes.
// The parser's time grows faster than the number of tokens where they nest
// (65 000 open brackets take it 10 s, as many as may be read a tenth of one), so
// tokens are counted before it starts.
const (
	maxBytes  = 1 << 20
	maxTokens = 8192
)

// lexed holds what the lexer may be given, prose of comments and all: it takes 300 bytes
// for a sign.
var lexed = textfile.Limits{Tokens: 16 * maxTokens}

// refusedTokens are the parts of YAML that let one line change the meaning of
// another. None is needed here, and without them no file unfolds to more than
// its own text.
var refusedTokens = map[token.Type]string{
	token.AnchorType:     "an anchor (&)",
	token.AliasType:      "an alias (*)",
	token.MergeKeyType:   "a merge key (<<)",
	token.TagType:        "a tag (!)",
	token.MappingKeyType: "a complex key (?)",
	token.DirectiveType:  "a directive (%)",
}

// tree returns the one YAML document of a text; nil where it has none.
func tree(text []byte) (ast.Node, error) {
	plain, err := plainText(text)
	if err != nil {
		return nil, err
	}
	if err := lexed.YAML([]byte(plain)); err != nil {
		var much *textfile.TooMuch
		errors.As(err, &much)
		return nil, &Error{Line: much.Line,
			Problem: much.What + ", far more than a fleet needs",
			Cure:    "give a fleet file; acreband fleet prints one to start from"}
	}
	all := lexer.Tokenize(plain)
	if bad := all.InvalidToken(); bad != nil {
		return nil, notYAML(line(bad), bad.Error)
	}
	var tokens token.Tokens
	for _, t := range all {
		if what, refused := refusedTokens[t.Type]; refused {
			return nil, &Error{Line: line(t),
				Problem: what + " is not used in a fleet file",
				Cure:    "write the value itself, in quotes if it begins with that sign; a slope is written 35% or 19.3deg"}
		}
		if t.Type != token.CommentType {
			tokens = append(tokens, t)
		}
		if len(tokens) > maxTokens {
			return nil, &Error{Line: line(t),
				Problem: fmt.Sprintf("more than %d YAML tokens, far more than a fleet needs", maxTokens),
				Cure:    "give a fleet file; acreband fleet prints one to start from"}
		}
	}
	return document(tokens)
}

// document parses tokens without comments. Duplicate keys pass here, because
// the reader of the keys reports them better.
func document(tokens token.Tokens) (ast.Node, error) {
	f, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		var at yaml.Error
		if errors.As(err, &at) && at.GetToken() != nil {
			return nil, notYAML(line(at.GetToken()), at.GetMessage())
		}
		return nil, notYAML(1, err.Error())
	}
	var body ast.Node
	for _, d := range f.Docs {
		switch {
		case d.Body == nil:
		case body != nil:
			return nil, &Error{Line: line(d.Body.GetToken()),
				Problem: "a second YAML document begins here",
				Cure:    "keep one document in a fleet file: delete the line --- and list every machine under one machines:"}
		default:
			body = d.Body
		}
	}
	return body, nil
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// plainText returns the text without a byte order mark and with line ends of
// one kind (the lexer counts CR LF as two lines behind quotes and comments). It
// refuses bytes that are no text, such as a picture or a file saved as UTF-16.
func plainText(text []byte) (string, error) {
	if len(text) > maxBytes {
		return "", &Error{Line: 1 + bytes.Count(text[:maxBytes], []byte("\n")),
			Problem: fmt.Sprintf("the file has more than %d bytes, far more than a fleet needs", maxBytes),
			Cure:    "give a fleet file; acreband fleet prints one to start from"}
	}
	plain := lineEnds.Replace(strings.TrimPrefix(string(text), "\ufeff"))
	n := 0
	for l := range strings.SplitSeq(plain, "\n") {
		n++
		if !utf8.ValidString(l) || strings.IndexByte(l, 0) >= 0 {
			return "", &Error{Line: n,
				Problem: "the text is not UTF-8",
				Cure:    "save the file as plain text in UTF-8"}
		}
	}
	return plain, nil
}

func notYAML(line int, message string) error {
	return &Error{Line: line,
		Problem: "this is not YAML: " + strings.Join(strings.Fields(message), " "),
		Cure:    "check the quotes, brackets and indents of this line and the one above (spaces, no tabs)"}
}

func line(t *token.Token) int {
	if t == nil || t.Position == nil {
		return 1
	}
	return t.Position.Line
}
