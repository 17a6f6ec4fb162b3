package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// By slope alone a bank of 3 ft shows on none of its length on cells of 1 m and of 2 m. In
// points from lidar on hummocky ground it is found on all of it up to cells of 3 m, and where
// there is none, next to nothing is.
func TestBanksOfThreeFeet(t *testing.T) {
	for _, cellM := range []float64{1, 2, 3} {
		for _, gr := range griddings {
			c := bankCase{3, 0, cellM, 2, gr, 1}
			f := must(c.find())
			assert.GreaterOrEqual(t, f.share, 0.99, "cells of %g m, %s", cellM, gr.name)
			assert.InDelta(t, 3, f.heightFt[1], 0.3, "cells of %g m, %s: the median", cellM, gr.name)
			assert.Greater(t, f.heightFt[0], 2.2, "cells of %g m, %s", cellM, gr.name)
			assert.Less(t, f.heightFt[2], 3.9, "cells of %g m, %s", cellM, gr.name)
			assert.GreaterOrEqual(t, f.within, 0.9, "cells of %g m, %s: 90%% are asked", cellM, gr.name)
			c.heightFt = 0
			assert.LessOrEqual(t, must(c.find()).falseAnAcre, 0.1, "cells of %g m, %s", cellM, gr.name)
		}
	}
}

// Few points smear a face over what lies between them.
func TestBanksInFewPoints(t *testing.T) {
	for _, cellM := range []float64{1, 2, 3} {
		f := must(bankCase{3, 0, cellM, 1, griddings[0], 2}.find())
		assert.GreaterOrEqual(t, f.share, 0.95, "cells of %g m", cellM)
		assert.InDelta(t, 3, f.heightFt[1], 0.5, "cells of %g m", cellM)
	}
	f := must(bankCase{6, 0, 5, 1, griddings[0], 2}.find())
	assert.GreaterOrEqual(t, f.share, 0.95, "6 ft on cells of 5 m")
}
