package plan

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
