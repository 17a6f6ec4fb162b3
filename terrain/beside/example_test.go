package beside_test

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/terrain/beside"
)

// Two sums, one beside the other where there is a processor for it.
func ExampleGroup() {
	var g beside.Group
	defer g.Wait()
	even, odd := 0, 0
	g.Go(func() {
		for i := 0; i < 10; i += 2 {
			even += i
		}
	})
	for i := 1; i < 10; i += 2 {
		odd += i
	}
	g.Wait()
	fmt.Println(even, odd)
	// Output: 20 25
}

// A loop over cells that ends with the context's error once nobody waits for it.
func ExampleWatch() {
	count := func(ctx context.Context, cells int) (n int, err error) {
		defer beside.Ended(&err)
		watch := beside.NewWatch(ctx)
		for range cells {
			watch.Did(1)
			n++
		}
		return n, nil
	}
	fmt.Println(count(context.Background(), 3))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := count(ctx, 2*beside.Units)
	fmt.Println(err)
	// Output:
	// 3 <nil>
	// context canceled
}
