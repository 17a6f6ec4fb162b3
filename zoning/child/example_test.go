package child_test

import (
	"bytes"
	"fmt"

	"github.com/acreband/acreband/zoning/child"
)

func ExampleSeal() {
	message := append(make([]byte, child.PrefixBytes), "a lot"...)
	child.Seal(message)
	payload, err := child.Open(bytes.NewReader(message), 1<<10, nil)
	fmt.Printf("%s, %v\n", payload, err)
	message[child.PrefixBytes] ^= 1 // a bit turns on the way
	_, err = child.Open(bytes.NewReader(message), 1<<10, nil)
	fmt.Println(err)
	// Output:
	// a lot, <nil>
	// cut off or damaged
}
