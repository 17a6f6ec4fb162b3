package units_test

import (
	"fmt"

	"github.com/acreband/acreband/zoning/units"
)

func ExampleLength() {
	metres, err := units.Length("10ft")
	fmt.Println(metres, err)
	_, err = units.Length("10")
	fmt.Println(err)
	// Output:
	// 3.048 <nil>
	// "10" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m
}

func ExampleSlope() {
	pct, err := units.Slope("45deg")
	fmt.Println(pct, err)
	// Output: 100 <nil>
}
