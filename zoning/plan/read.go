package plan

import (
	_ "embed"
	"errors"
	"slices"
	"sync"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

//go:embed default.yaml
var defaultYAML string

// DefaultYAML returns the part of a fleet file that holds the default figures of
// machines and job, every key explained: what follows the machines of
// [fleet.DefaultYAML].
func DefaultYAML() []byte { return []byte(defaultYAML) }

// Default returns the default figures, each marked as assumed. The book is the caller's
// own.
func Default() *Book { return defaults().Clone() }

var defaults = sync.OnceValue(func() *Book {
	book := &Book{}
	text := slices.Concat(fleet.DefaultYAML(), []byte("\n"), DefaultYAML())
	_, sections, err := fleet.ParseFigures("the default figures", text, fleet.FigureKeys{Machine: MachineKeys(), Job: JobKeys()})
	if err == nil {
		err = book.setAll("the default figures", sections)
	}
	if err != nil {
		panic(err) // the files are compiled in; their tests read them
	}
	book.Job.assume(book.Job.Basis)
	for _, m := range book.Machines {
		m.assume(m.Basis)
	}
	return book
})

// ReadFile reads a fleet file once for its machines and for the figures of their plan,
// as [Parse] does.
func ReadFile(path string) (zoning.Fleet, *Book, error) {
	book := Default()
	machines, sections, err := fleet.ReadFigures(path, book.keys())
	return filled(path, book, machines, sections, err)
}

// Parse reads the text of a fleet file for its machines and their figures. Figures that
// it does not give, or gives as the default has them, stay those of [Default], and
// assumed; a machine of which neither says anything has none. name is the file's name
// in errors, which are [*fleet.Error].
func Parse(name string, text []byte) (zoning.Fleet, *Book, error) {
	book := Default()
	machines, sections, err := fleet.ParseFigures(name, text, book.keys())
	return filled(name, book, machines, sections, err)
}

func filled(name string, book *Book, machines zoning.Fleet, sections []fleet.Section, err error) (zoning.Fleet, *Book, error) {
	if err == nil {
		err = book.setAll(name, sections)
	}
	if err != nil {
		return nil, nil, err
	}
	return machines, book, nil
}

// keys are what a file may hold that changes the book. Figures of machines that the book
// has may be left over where its owner took the machine out of the fleet.
func (b *Book) keys() fleet.FigureKeys {
	keys := fleet.FigureKeys{Machine: MachineKeys(), Job: JobKeys()}
	for _, f := range b.Machines {
		keys.LeftOver = append(keys.LeftOver, f.Key)
	}
	return keys
}

// setAll sets the figures of a file in the book.
func (b *Book) setAll(file string, sections []fleet.Section) error {
	for _, s := range sections {
		set := b.Job.Set
		if s.Machine != "" {
			figures := b.Machine(s.Machine)
			if figures == nil {
				figures = &Figures{Key: s.Machine, Owned: 1, Loads: 1}
				b.Machines = append(b.Machines, figures)
			}
			set = figures.Set
		}
		for _, f := range s.Figures {
			var bad *Error
			if err := set(f.Key, f.Text); errors.As(err, &bad) {
				return &fleet.Error{File: file, Line: f.Line, Problem: bad.Problem, Cure: bad.Cure}
			}
		}
	}
	return nil
}
