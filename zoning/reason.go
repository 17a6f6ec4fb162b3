package zoning

// Reason says why a machine does not work a cell: the first rule that keeps it off,
// in the order of the constants.
type Reason uint8

// Reasons.
const (
	Works          Reason = iota // it may work it
	Closed                       // drawn as no-go, or water
	InSetback                    // too near to something that is to be kept from
	NotMeasured                  // no elevation
	TooSteep                     // slope above its limit
	TooGreatAStep                // step or roughness under it
	NearDropOff                  // nearer to the edge of a drop than its footprint, or than the drop is high
	TooSoft                      // bears less than the machine presses
	TooMuchGrowth                // taller or thicker than it handles
	LeaveTrees                   // selective clearing, and it is for production
	TooNarrow                    // it does not fit between what stops it
	NoTurn                       // too far up or down the fall line from where it can turn
	OnlyAcross                   // only to be reached across the slope
	NoWayIn                      // not to be reached from where it is unloaded
	OutOfReach                   // may drive there, or stand near, but not work it
	TooSmallAPatch               // not worth moving to
	reasons
)

// Reasons is how many reasons there are.
const Reasons = int(reasons)

var reasonKeys = [Reasons]string{
	"works", "closed", "setback", "no-elevation", "slope", "step", "drop-off", "soft-ground", "growth", "leave-trees",
	"width", "no-turn", "cross-slope", "no-way-in", "reach", "patch-size",
}

// Key is the reason's name in files.
func (r Reason) Key() string { return reasonKeys[r] }

var reasonWords = [Reasons]string{
	"may work it", "closed to machines", "setback", "no elevation", "slope", "step or roughness", "drop-off", "soft ground", "growth",
	"leave trees", "too narrow", "no turn", "cross slope", "no way in", "out of reach", "patch too small",
}

// Words names the reason for people.
func (r Reason) Words() string { return reasonWords[r] }
