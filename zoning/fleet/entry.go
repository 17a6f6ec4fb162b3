package fleet

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"github.com/acreband/acreband/zoning"
)

// noBasis stands for a basis the file does not give, so that a map says so.
const noBasis = "none given in the fleet file"

// entry is a machine with what the file says of it, for errors.
type entry struct {
	machine zoning.Machine
	text    map[string]string // values as written, by key
	line    map[string]int    // lines, by key
	bases   []pair            // the lines under basis:, if it is a map
}

// readEntry reads one machine and checks it on its own.
func readEntry(node ast.Node) (entry, error) {
	e := entry{text: map[string]string{}, line: map[string]int{}}
	pairs, err := readPairs(node, machineKeys, "a machine")
	if err != nil {
		return e, err
	}
	keys := keysOf(&e.machine)
	for _, p := range pairs {
		e.line[p.key] = p.line
		if e.text[p.key], err = e.textOf(p); err != nil {
			return e, err
		}
		k := keys[slices.Index(machineKeys, p.key)]
		var bad *Error
		if errors.As(k.read(e.text[p.key]), &bad) {
			return e, e.refuse(p.key, bad.Cure, "%s %s", p.key, bad.Problem)
		}
	}
	if e.machine.Basis == "" {
		e.machine.Basis = noBasis
	}
	for _, k := range machineKeys[:3] {
		if e.line[k] == 0 {
			return e, &Error{Line: startLine(node),
				Problem: fmt.Sprintf("%s has no %s", e.title(), k),
				Cure:    "add a line to it: " + requiredExample[k]}
		}
	}
	return e, e.check()
}

var requiredExample = map[string]string{
	"key":   "key: track-loader",
	"name":  "name: Track loader",
	"limit": "limit: 30%",
}

// textOf returns a pair's value. A basis may be a map, from keys of the machine
// to what each rests on; it becomes one text.
func (e *entry) textOf(p pair) (string, error) {
	if _, isMap := p.value.(ast.MapNode); !isMap || p.key != "basis" {
		return p.text()
	}
	var err error
	if e.bases, err = readPairs(p.value, machineKeys, "a basis"); err != nil {
		return "", err
	}
	if len(e.bases) == 0 {
		return "", p.noValue()
	}
	texts := make([]string, len(e.bases))
	ofLimit := false
	for i, b := range e.bases {
		text, err := b.text()
		if err != nil {
			return "", err
		}
		texts[i] = b.key + ": " + text
		ofLimit = ofLimit || b.key == "limit"
	}
	if !ofLimit {
		texts = append([]string{"limit: " + noBasis}, texts...)
	}
	return strings.Join(texts, "; "), nil
}

// title is how errors name a machine whose key may be missing.
func (e entry) title() string {
	name := cmp.Or(e.machine.Key, e.machine.Name)
	if name == "" {
		return "this machine"
	}
	return fmt.Sprintf("machine %q", name)
}

func (e entry) refuse(key, cure, problem string, args ...any) error {
	return &Error{Line: e.line[key], Problem: fmt.Sprintf(problem, args...), Cure: cure}
}
