package text_test

import (
	"fmt"
	"os"

	"github.com/acreband/acreband/zoning/text"
)

// A name that a spreadsheet would run as a formula is guarded; a number is not.
func ExampleTable() {
	table := text.NewTable(os.Stdout)
	table.Row("lot", "change")
	table.Row("=1+1", "-12.5")
	if err := table.Flush(); err != nil {
		fmt.Println(err)
	}
	// Output:
	// lot,change
	// '=1+1,-12.5
}
