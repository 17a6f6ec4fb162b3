package plan

// Error is why a figure or a site was refused. Whoever reads it from a file adds
// the file and the line.
type Error struct {
	Problem string // what is wrong, with the value
	Cure    string // what to do about it
}

// Error writes PROBLEM; CURE on one line.
func (e *Error) Error() string { return e.Problem + "; " + e.Cure }
