package quality

import "sync"

// numbers are lists that were used before, for the next detector that needs one: of an acre lot
// they are half of what would have to be made, and cleared away.
var numbers = sync.Pool{New: func() any { return new([]float64) }}
