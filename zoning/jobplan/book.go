package jobplan

import (
	"fmt"

	"github.com/acreband/acreband/zoning"
)

// MostMachines is how many machines a plan may choose from, each of a kind counted.
const MostMachines = 14

// Book is all that an owner knows of machines and job.
type Book struct {
	Machines []*Figures
	Job      Job
}

// Machine returns the figures of a machine, nil where there are none.
func (b *Book) Machine(key string) *Figures {
	for _, f := range b.Machines {
		if f.Key == key {
			return f
		}
	}
	return nil
}

// Clone returns a book of its own, to change without changing the first.
func (b *Book) Clone() *Book {
	c := &Book{Job: b.Job}
	c.Job.figuresText = b.Job.clone()
	for _, f := range b.Machines {
		g := *f
		g.figuresText = f.clone()
		c.Machines = append(c.Machines, &g)
	}
	return c
}

// Assumptions lists every figure of the job and of a fleet's machines that is a
// default and nobody's own, with its basis.
func (b *Book) Assumptions(fleet []zoning.Machine) []string {
	var all []string
	if s := b.Job.list(JobKeys()); s != "" {
		all = append(all, fmt.Sprintf("job: %s (%s)", s, b.Job.assumedBasis))
	}
	for _, m := range fleet {
		f := b.Machine(m.Key)
		if f == nil {
			continue
		}
		if s := f.list(MachineKeys()); s != "" {
			all = append(all, fmt.Sprintf("%s: %s (%s)", f.Key, s, f.assumedBasis))
		}
	}
	return all
}
