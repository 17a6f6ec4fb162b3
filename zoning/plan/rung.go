package plan

// Rung is a crew of a ladder, with what it clears and what it leaves.
type Rung struct {
	Option
	Acres float64 // net acres that it clears, those of hand work among them
	// ExtraPerAcreUSD is the price of each acre more than on the rung below; NaN on the
	// first.
	ExtraPerAcreUSD float64
	// Left is what the crew does not clear, by why; with Acres it adds up to the ground.
	Left []Left
	// Waits is what of Left the crew works once the ground is dry, by machine.
	Waits []Waiting
}

// Left is ground that a crew does not clear. Why is one of the keys of package zoning for
// ground that no machine works, or one of those here.
type Left struct {
	Why   string
	Acres float64
}

// Why ground is left, beside the keys of the zones of a planned map.
const (
	LeftByDays   = "no-days"   // the crew would work it, and has no days left
	LeftByBudget = "no-budget" // the crew would work it, and the budget is spent
	LeftByChoice = "kept"      // not to be cleared: gross acres less net
)

// Waiting is ground that waits until it is dry for a machine of the crew.
type Waiting struct {
	Key, Name string
	Acres     float64
}
