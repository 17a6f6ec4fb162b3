package fleet

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/goccy/go-yaml/ast"

	"github.com/acreband/acreband/zoning"
)

// Parts of the file that hold figures.
const (
	planKey = "plan"
	jobKey  = "job"
)

// FigureKeys are the keys that figures of a file may have: who reads the figures knows
// them.
type FigureKeys struct {
	LeftOver []string // machines that figures may be of though the file's fleet has none such
	Machine  []string // under plan:, for each machine
	Job      []string // under job:
}

// Section is what a file says of one machine under plan:, or of the job.
type Section struct {
	Machine string // its key; empty for the job
	Figures []Figure
}

// Figure is one line "key: text" of a file.
type Figure struct {
	Key, Text string
	Line      int // counted from 1
}

// ReadFigures reads a fleet file once for its machines and for the figures under plan:
// and job:, as [ParseFigures] does.
func ReadFigures(path string, keys FigureKeys) (zoning.Fleet, []Section, error) {
	text, err := textOf(path)
	if err != nil {
		return nil, nil, err
	}
	return ParseFigures(path, text, keys)
}

// ParseFigures reads the text of a fleet file for its machines and for the figures under
// plan: and job:, in the order of the file. Every figure has one of the keys given, none
// comes twice in a section nor a machine twice, and every text is one line that is not
// empty; what it means is for its reader to say. name is the file's name in errors,
// which are [*Error].
func ParseFigures(name string, text []byte, keys FigureKeys) (zoning.Fleet, []Section, error) {
	root, err := tree(text)
	if err != nil {
		return nil, nil, inFile(name, err)
	}
	machines, err := readMachines(root)
	if err != nil {
		return nil, nil, inFile(name, err)
	}
	known := make([]string, 0, len(machines)+len(keys.LeftOver))
	for _, m := range machines {
		known = append(known, m.Key)
	}
	sections, err := readSections(root, append(known, keys.LeftOver...), keys)
	if err != nil {
		return nil, nil, inFile(name, err)
	}
	return machines, sections, nil
}

// readSections reads what a file holds beside its machines. machines are the keys that
// figures may be of.
func readSections(root ast.Node, machines []string, keys FigureKeys) ([]Section, error) {
	pairs, err := readPairs(root, fileKeys, "the file")
	if err != nil {
		return nil, err
	}
	var sections []Section
	for _, p := range pairs {
		switch p.key {
		case planKey:
			of, err := readMachinesFigures(p, machines, keys.Machine)
			if err != nil {
				return nil, err
			}
			sections = append(sections, of...)
		case jobKey:
			figures, err := readFigures(p.value, keys.Job, "the job")
			if err != nil {
				return nil, err
			}
			sections = append(sections, Section{Figures: figures})
		}
	}
	return sections, nil
}

// readMachinesFigures reads a map from machines' keys to their figures.
func readMachinesFigures(p pair, machines, known []string) ([]Section, error) {
	m, ok := p.value.(ast.MapNode)
	if !ok {
		return nil, &Error{Line: p.line, Problem: "plan: does not hold machines",
			Cure: "write a machine's key and a colon under it, and its figures below, set in"}
	}
	var sections []Section
	seen := map[string]int{}
	for at := m.MapRange(); at.Next(); {
		t := at.Key().GetToken()
		if !slices.Contains(machines, t.Value) {
			return nil, &Error{Line: line(t), Problem: fmt.Sprintf("plan: has figures of %q, which is no machine of this fleet", t.Value),
				Cure: "write the key that it has under machines: " + cmp.Or(nearest(t.Value, machines), list(machines))}
		}
		if first := seen[t.Value]; first > 0 {
			return nil, &Error{Line: line(t), Problem: fmt.Sprintf("%s is given a second time; the first is on line %d", t.Value, first),
				Cure: "keep one of the two"}
		}
		seen[t.Value] = line(t)
		figures, err := readFigures(at.Value(), known, "the plan of "+t.Value)
		if err != nil {
			return nil, err
		}
		sections = append(sections, Section{Machine: t.Value, Figures: figures})
	}
	return sections, nil
}

// readFigures reads a map of figures.
func readFigures(node ast.Node, known []string, where string) ([]Figure, error) {
	pairs, err := readPairs(node, known, where)
	if err != nil {
		return nil, err
	}
	figures := make([]Figure, 0, len(pairs))
	for _, p := range pairs {
		text, err := p.text()
		if err != nil {
			return nil, err
		}
		figures = append(figures, Figure{p.key, text, p.line})
	}
	return figures, nil
}
