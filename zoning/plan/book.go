package plan

import "slices"

// MostMachines is how many machines a plan may choose from, each of a kind counted.
const MostMachines = 14

// Book is all that an owner knows of machines and job.
type Book struct {
	Machines []*Figures
	Job      Job
	Cost     CostModel // how hours and dollars follow from them; nil is [ByRate]
}

// cost is the model that counts.
func (b *Book) cost() CostModel {
	if b.Cost == nil {
		return ByRate{}
	}
	return b.Cost
}

// machines are those that are there.
func (b *Book) machines() []*Figures {
	if b == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(b.Machines), func(f *Figures) bool { return f == nil })
}

// Machine returns the figures of a machine, nil where there are none.
func (b *Book) Machine(key string) *Figures {
	for _, f := range b.machines() {
		if f.Key == key {
			return f
		}
	}
	return nil
}

// Clone returns a book of its own, to change without changing the first.
func (b *Book) Clone() *Book {
	c := &Book{Job: b.Job, Cost: b.Cost}
	c.Job.figuresText = b.Job.clone()
	for _, f := range b.machines() {
		g := *f
		g.figuresText = f.clone()
		c.Machines = append(c.Machines, &g)
	}
	return c
}
