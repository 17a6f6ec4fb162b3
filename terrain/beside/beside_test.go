package beside

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
)

// With one processor work is done before its caller goes on; with several all of it is
// done when Wait returns, and may need its caller to go on.
func TestGroup(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	var one Group
	done := 0
	one.Go(func() { done = 1 })
	assert.Equal(t, 1, done, "done already")
	one.Wait()

	runtime.GOMAXPROCS(2)
	var two Group
	results, both := make([]int, 2), make(chan int)
	two.Go(func() { results[0] = <-both })
	two.Go(func() { results[1] = 2 })
	both <- 1
	two.Wait()
	assert.Equal(t, []int{1, 2}, results)
}
