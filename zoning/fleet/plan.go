package fleet

import (
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"slices"

	"github.com/goccy/go-yaml/ast"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

//go:embed plan.yaml
var defaultPlanYAML string

// DefaultPlanYAML returns the part of a fleet file that holds the default figures of
// machines and job, every key explained: what follows the machines.
func DefaultPlanYAML() []byte { return []byte(defaultPlanYAML) }

// Keys of the file that hold figures.
const (
	planKey = "plan"
	jobKey  = "job"
)

// DefaultPlan returns the default figures, each marked as assumed. The book is the
// caller's own.
func DefaultPlan() *plan.Book {
	book := &plan.Book{}
	root, err := tree([]byte(defaultPlanYAML))
	if err == nil {
		err = readPlan(root, book, nil)
	}
	if err != nil {
		panic(err) // the file is compiled in; its test reads it
	}
	book.Job.Assume(book.Job.Basis)
	for _, m := range book.Machines {
		m.Assume(m.Basis)
	}
	return book
}

// ParseWithPlan reads the text of a fleet file for its machines and their figures.
// Figures that it does not give, or gives as the default has them, stay those of
// [DefaultPlan], and assumed; a machine of which neither says anything has none. name
// is the file's name in errors, which are [*Error].
func ParseWithPlan(name string, text []byte) ([]zoning.Machine, *plan.Book, error) {
	root, err := tree(text)
	if err != nil {
		return nil, nil, inFile(name, err)
	}
	machines, err := readMachines(root)
	if err != nil {
		return nil, nil, inFile(name, err)
	}
	book := DefaultPlan()
	keys := make([]string, 0, len(machines)+len(book.Machines))
	for _, m := range machines {
		keys = append(keys, m.Key)
	}
	for _, f := range book.Machines { // left over where its owner took a machine out above
		keys = append(keys, f.Key)
	}
	if err := readPlan(root, book, keys); err != nil {
		return nil, nil, inFile(name, err)
	}
	return machines, book, nil
}

// readPlan sets the figures of a file in a book. known are the keys that machines may
// have; nil is any.
func readPlan(root ast.Node, book *plan.Book, known []string) error {
	pairs, err := readPairs(root, fileKeys, "the file")
	if err != nil {
		return err
	}
	for _, p := range pairs {
		switch p.key {
		case planKey:
			err = readMachinesPlan(p, book, known)
		case jobKey:
			err = setAll(p.value, plan.JobKeys(), "the job", book.Job.Set)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// readMachinesPlan reads a map from machines' keys to their figures.
func readMachinesPlan(p pair, book *plan.Book, known []string) error {
	m, ok := p.value.(ast.MapNode)
	if !ok {
		return &Error{Line: p.line, Problem: "plan: does not hold machines",
			Cure: "write a machine's key and a colon under it, and its figures below, set in"}
	}
	seen := map[string]int{}
	for at := m.MapRange(); at.Next(); {
		t := at.Key().GetToken()
		if known != nil && !slices.Contains(known, t.Value) {
			return &Error{Line: line(t), Problem: fmt.Sprintf("plan: has figures of %q, which is no machine of this fleet", t.Value),
				Cure: "write the key that it has under machines: " + cmp.Or(nearest(t.Value, known), list(known))}
		}
		if first := seen[t.Value]; first > 0 {
			return &Error{Line: line(t), Problem: fmt.Sprintf("%s is given a second time; the first is on line %d", t.Value, first),
				Cure: "keep one of the two"}
		}
		seen[t.Value] = line(t)
		figures := book.Machine(t.Value)
		if figures == nil {
			figures = &plan.Figures{Key: t.Value, Owned: 1, Loads: 1}
			book.Machines = append(book.Machines, figures)
		}
		if err := setAll(at.Value(), plan.MachineKeys(), "the plan of "+t.Value, figures.Set); err != nil {
			return err
		}
	}
	return nil
}

// setAll reads a map of figures.
func setAll(node ast.Node, known []string, where string, set func(key, value string) error) error {
	pairs, err := readPairs(node, known, where)
	if err != nil {
		return err
	}
	for _, p := range pairs {
		text, err := p.text()
		if err != nil {
			return err
		}
		var bad *plan.Error
		if err := set(p.key, text); errors.As(err, &bad) {
			return &Error{Line: p.line, Problem: bad.Problem, Cure: bad.Cure}
		}
	}
	return nil
}
