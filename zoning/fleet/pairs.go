package fleet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
)

// pair is one line "key: value" of the file.
type pair struct {
	key   string
	line  int
	value ast.Node
}

// readPairs returns the pairs of a map in file order: every key is one of
// known, none comes twice. where names the map in errors.
func readPairs(node ast.Node, known []string, where string) ([]pair, error) {
	m, ok := node.(ast.MapNode)
	if !ok {
		return nil, &Error{Line: startLine(node),
			Problem: where + " does not hold lines of the form key: value",
			Cure:    "write " + list(known[:min(3, len(known))]) + ", each followed by a colon and a space"}
	}
	var pairs []pair
	for at := m.MapRange(); at.Next(); {
		t := at.Key().GetToken()
		p := pair{t.Value, line(t), at.Value()}
		if !slices.Contains(known, p.key) {
			cure := "the keys here are " + list(known)
			if near := nearest(p.key, known); near != "" {
				cure = "did you mean " + near + "? acreband fleet prints a file that explains every key"
			}
			return nil, &Error{Line: p.line, Problem: fmt.Sprintf("%q is not a key of %s", p.key, where), Cure: cure}
		}
		for _, q := range pairs {
			if q.key == p.key {
				return nil, &Error{Line: p.line,
					Problem: fmt.Sprintf("%s is given a second time; the first is on line %d", p.key, q.line),
					Cure:    "keep one of the two"}
			}
		}
		pairs = append(pairs, p)
	}
	return pairs, nil
}

// text returns a pair's value as one line, whatever scalar YAML took it for:
// 30 and true are text where a name is wanted.
func (p pair) text() (string, error) {
	var raw string
	switch v := p.value.(type) {
	case *ast.StringNode:
		raw = v.Value
	case *ast.LiteralNode:
		raw = v.Value.Value
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		raw = v.GetToken().Value
	case *ast.NullNode:
	default:
		return "", &Error{Line: p.line,
			Problem: p.key + " holds a list or a map",
			Cure:    "write one value after " + p.key + ":, in quotes if it begins with [ or {"}
	}
	s := strings.Join(strings.Fields(raw), " ")
	if s == "" {
		return "", p.noValue()
	}
	if strings.ContainsFunc(s, unicode.IsControl) || !utf8.ValidString(s) {
		return "", &Error{Line: p.line,
			Problem: fmt.Sprintf("%s %q holds characters that cannot be printed", p.key, s),
			Cure:    "write it in plain text"}
	}
	return s, nil
}

func (p pair) noValue() error {
	return &Error{Line: p.line,
		Problem: p.key + " has no value",
		Cure:    "write one after " + p.key + ":, or delete the line if the machine does not need it"}
}

// startLine is the line a node begins on. A map's own token is the colon of
// its first pair, whose key may stand on a line above.
func startLine(node ast.Node) int {
	if m, ok := node.(*ast.MappingNode); ok && !m.IsFlowStyle && len(m.Values) > 0 {
		return line(m.Values[0].Key.GetToken())
	}
	return line(node.GetToken())
}

func list(words []string) string { return strings.Join(words, ", ") }
