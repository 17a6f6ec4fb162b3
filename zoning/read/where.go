package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// where is a condition on a feature's fields, as [Options.Where] writes it. It is
// read and decided here and not by GDAL, whose formats each decide in a language
// of their own: GeoPackage minds case where Shapefile does not, and takes any SQL.
type where struct {
	fields []string // that it names
	holds  condition
}

// condition decides by the values of the fields, in the order of where.fields; ""
// is a blank.
type condition func(values []string) bool

// parseWhere reads a condition:
//
//	condition  = term { "or" term }
//	term       = factor { "and" factor }
//	factor     = "not" factor | "(" condition ")" | comparison
//	comparison = field ( "=" | "!=" | "<>" | "<" | "<=" | ">" | ">=" ) value
//	           | field [ "not" ] "in" "(" value { "," value } ")"
//	           | field "is" [ "not" ] "null"
//	field      = name | "\"" name "\""
//	value      = number | "'" text "'"
func parseWhere(text string) (*where, error) {
	tokens, err := tokensOf(text)
	p := &whereParser{tokens: tokens, where: &where{}}
	if err == nil {
		p.where.holds, err = p.condition(0)
	}
	if err == nil && len(p.tokens) > 0 {
		err = fmt.Errorf("%s is too much", p.tokens[0])
	}
	if err != nil {
		return nil, fmt.Errorf("%w; write such as ZONING = 'R1' and ACRES >= 0.5", err)
	}
	return p.where, nil
}

type whereParser struct {
	tokens []token
	where  *where
}

// deepest is how deep conditions may lie in each other.
const deepest = 100

func (p *whereParser) accept(what string) bool {
	if len(p.tokens) == 0 || !p.tokens[0].is(what) {
		return false
	}
	p.tokens = p.tokens[1:]
	return true
}

func (p *whereParser) expect(what string) error {
	if p.accept(what) {
		return nil
	}
	if len(p.tokens) == 0 {
		return fmt.Errorf("it ends where %q is wanted", what)
	}
	return fmt.Errorf("%s stands where %q is wanted", p.tokens[0], what)
}

func (p *whereParser) next(what string) (token, error) {
	if len(p.tokens) == 0 {
		return token{}, fmt.Errorf("it ends where %s is wanted", what)
	}
	t := p.tokens[0]
	p.tokens = p.tokens[1:]
	return t, nil
}

func (p *whereParser) condition(depth int) (condition, error) {
	return p.joined("or", depth, p.term, func(a, b condition) condition {
		return func(v []string) bool { return a(v) || b(v) }
	})
}

func (p *whereParser) term(depth int) (condition, error) {
	return p.joined("and", depth, p.factor, func(a, b condition) condition {
		return func(v []string) bool { return a(v) && b(v) }
	})
}

func (p *whereParser) joined(by string, depth int, part func(int) (condition, error), join func(a, b condition) condition) (condition, error) {
	all, err := part(depth)
	for err == nil && p.accept(by) {
		var one condition
		if one, err = part(depth); err == nil {
			all = join(all, one)
		}
	}
	return all, err
}

func (p *whereParser) factor(depth int) (condition, error) {
	if depth > deepest {
		return nil, fmt.Errorf("conditions lie more than %d deep in each other", deepest)
	}
	switch {
	case p.accept("not"):
		c, err := p.factor(depth + 1)
		return not(c), err
	case p.accept("("):
		c, err := p.condition(depth + 1)
		if err != nil {
			return nil, err
		}
		return c, p.expect(")")
	}
	return p.comparison()
}

func not(c condition) condition { return func(v []string) bool { return !c(v) } }

func (p *whereParser) comparison() (condition, error) {
	t, err := p.next("the name of a field")
	if err != nil {
		return nil, err
	}
	if t.kind != word && t.kind != quotedName {
		return nil, fmt.Errorf("%s stands where the name of a field is wanted", t)
	}
	at := slices.Index(p.where.fields, t.text)
	if at < 0 {
		at = len(p.where.fields)
		p.where.fields = append(p.where.fields, t.text)
	}
	if p.accept("is") {
		negated := p.accept("not")
		return func(v []string) bool { return (v[at] == "") != negated }, p.expect("null")
	}
	negated := p.accept("not")
	if p.accept("in") {
		c, err := p.list(at)
		if negated {
			c = both(filled(at), not(c))
		}
		return c, err
	}
	if negated {
		return nil, p.expect("in")
	}
	op, err := p.next("a comparison")
	if err != nil {
		return nil, err
	}
	decide := decisions[op.text]
	if op.kind != sign || decide == nil {
		return nil, fmt.Errorf("%s stands where =, !=, <, <=, >, >=, in or is is wanted", op)
	}
	return p.value(at, decide)
}

func filled(at int) condition { return func(v []string) bool { return v[at] != "" } }

func both(a, b condition) condition { return func(v []string) bool { return a(v) && b(v) } }

func (p *whereParser) list(at int) (condition, error) {
	if err := p.expect("("); err != nil {
		return nil, err
	}
	c, err := p.joined(",", 0, func(int) (condition, error) { return p.value(at, decisions["="]) }, func(a, b condition) condition {
		return func(v []string) bool { return a(v) || b(v) }
	})
	if err != nil {
		return nil, err
	}
	return c, p.expect(")")
}

// decisions decide by the sign of the field's value less the given one.
var decisions = map[string]func(order int) bool{
	"=":  func(o int) bool { return o == 0 },
	"!=": func(o int) bool { return o != 0 },
	"<>": func(o int) bool { return o != 0 },
	"<":  func(o int) bool { return o < 0 },
	"<=": func(o int) bool { return o <= 0 },
	">":  func(o int) bool { return o > 0 },
	">=": func(o int) bool { return o >= 0 },
}

// value compares a field with a value: with a number as numbers, with a text by
// its bytes. A blank meets no comparison, nor does text one with a number.
func (p *whereParser) value(at int, decide func(order int) bool) (condition, error) {
	t, err := p.next("a value")
	if err != nil {
		return nil, err
	}
	switch t.kind {
	case quotedText:
		return func(v []string) bool { return v[at] != "" && decide(strings.Compare(v[at], t.text)) }, nil
	case number:
		want, _ := strconv.ParseFloat(t.text, 64) // which made it a number
		return func(v []string) bool {
			got, err := strconv.ParseFloat(strings.TrimSpace(v[at]), 64)
			switch {
			case err != nil || got != got || want != want:
				return false
			case got < want:
				return decide(-1)
			case got > want:
				return decide(1)
			}
			return decide(0)
		}, nil
	}
	return nil, fmt.Errorf("%s stands where a value is wanted: a number, or a text in single quotes", t)
}
