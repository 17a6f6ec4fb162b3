package zoning

// Repair is what was done to a boundary that was not in order.
type Repair struct {
	// Done says that it was repaired, Refused that it was not, since that would change
	// more than is allowed.
	Done    bool `json:"done,omitempty"`
	Refused bool `json:"refused,omitempty"`
	// ChangedPct is the part of the lot, as it came out or would, that is not read the
	// same way by every rule: see the package comment. In percent of its acres.
	ChangedPct float64 `json:"changed_pct,omitempty"`
}
